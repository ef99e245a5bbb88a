import type { dockReasons as en, Figures } from '../en/dock-reasons';
import { upperPercent } from '../dock-percent';
import { formatIn } from '../format';

const f = formatIn('es');
const found = (n: Figures) => f.of(n('infested_plants'), n('plants_looked_at'));
const share = (n: Figures) => f.interval(n('infested_percent'), n('lower_percent'), n('upper_percent'));
const worse = (n: Figures) =>
  `${f.of(n('plants_with'), n('plants_looked_at'))} plantas, ${f.interval(n('percent'), n('lower_percent'), n('upper_percent'))}`;

export const dockReasons: typeof en = {
  none_found: (n, organism) =>
    n('rules_out_percent') === 0
      ? `${found(n)} plantas con ${organism}, pero con tan pocas no se descarta nada.`
      : `${found(n)} plantas con ${organism}: es improbable que esté infestado ${upperPercent(f, n('rules_out_percent'))} o más.`,
  found: (n, organism) => `${found(n)} plantas con ${organism}, ${share(n)}.`,
  regulated_suspected: (_n, organism) =>
    `${organism}: regulada en algunos lugares. Retenga el lote y llame a la autoridad fitosanitaria; un laboratorio confirma.`,
  heavily_infested: (n, organism) =>
    `${found(n)} plantas con ${organism}, ${share(n)}: hasta el extremo bajo pasa de una de cada cinco, demasiado para entrar (práctica común).`,
  above_limit: (n, organism) =>
    `${found(n)} plantas con ${organism}, ${share(n)}: todo por encima del límite de ${f.percent(n('limit_percent'))}.`,
  below_limit: (n, organism) =>
    `${found(n)} plantas con ${organism}, ${share(n)}: todo dentro del límite de ${f.percent(n('limit_percent'))}.`,
  spans_limit: (n, organism) =>
    `${found(n)} plantas con ${organism}, ${share(n)}: demasiado cerca del límite de ${f.percent(n('limit_percent'))} para saberlo. Con más plantas se sabría.`,
  no_lens: () => 'No se usó lupa, así que no se vieron huevos: conviene una segunda revisión.',
  sample_smaller_than_asked: (n) =>
    `Se revisaron ${f.of(n('plants_looked_at'), n('plants_asked'))} plantas de la muestra: se descarta menos de lo pedido (${f.percent(n('detection_percent'))} con ${f.percent(n('confidence_percent'))} de confianza).`,
  main_organism_not_looked_for: (_n, organism) => `Nadie buscó ${organism}, la plaga principal: no queda descartada.`,
  condition_poor: (n) => `Daño grave o inservibles: ${worse(n)}.`,
  roots_poor: (n) => `Raíces pardas o ninguna: ${worse(n)}.`,
  leaf_spots: (n) => `Manchas foliares: ${worse(n)}.`,
  other_disease: (n) => `Otra enfermedad: ${worse(n)}.`,
  finds_level: (n) =>
    n('sensitivity_percent') < 100
      ? `Revise **${f.of(n('plants'), n('lot_size'))} plantas**: si ${f.percent(n('detection_percent'))} están infestadas y usted reconoce ${f.percent(n('sensitivity_percent'))} de ellas, halla al menos una con ${f.percent(n('confidence_percent'))} de confianza.`
      : `Revise **${f.of(n('plants'), n('lot_size'))} plantas**: si ${f.percent(n('detection_percent'))} están infestadas, halla al menos una con ${f.percent(n('confidence_percent'))} de confianza.`,
  no_infested_unit: (n) =>
    `${f.percent(n('detection_percent'))} de ${f.plural(n('lot_size'), 'planta', 'plantas')} es menos de una planta: ninguna muestra puede hallarlo. **Revise todas las plantas** o pida un nivel más alto.`,
  sensitivity_too_low: (n) =>
    `Ni con **${f.plural(n('lot_size'), 'planta', 'plantas')}, todas,** pasa de ${f.percent(n('confidence_reached_percent'))} de confianza, no ${f.percent(n('confidence_percent'))}: se pasarían por alto demasiadas infestadas. Revíselas todas con mejor lupa o pida un nivel más alto.`,
  sample_too_small: () => 'Con tan pocas plantas no se descarta nada.',
  no_history: () => 'De este origen aún no se ha inspeccionado nada.',
  past_finds: (n) => `${f.of(n('lots_with_finds'), n('lots'))} lotes anteriores de este origen traían la plaga principal.`,
  farm_not_known: () => 'No se sabe su granja.',
  light_foliage: () => 'Follaje claro: la mosca blanca aumenta más deprisa en él.',
};
