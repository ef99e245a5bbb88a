import type { EvidenceNumbers } from '../../trends/advice/numbers';
import type { evidence as en } from '../en/advice-evidence';
import { formatIn } from '../format';

const f = formatIn('es');

/** "del límite del 20 %" from "el límite del 20 %" */
export const than = (limit: string): string => limit.replace(/^el /, 'del ');

const limited = (n: EvidenceNumbers): string => n.limited ?? 'el límite';

const counted = ({ some, share, organism }: EvidenceNumbers): string =>
  `${some ?? 'Algunas plantas'} tienen ${organism}${share === null ? '' : `, ${share}`}`;

const ahead = (n: EvidenceNumbers): string =>
  [
    `Si todo sigue como hasta ahora${n.on === null ? '' : `, el ${n.on}`}${n.expected === null ? '' : ` tendrá ${n.organism} cerca del ${n.expected} de las plantas`}`,
    n.range === null ? '' : ` (lo más probable, entre el ${n.range.replace('–', ' y el ')})`,
    n.over === null ? '' : `; ${n.over}`,
  ].join('');

const pace = ({ pace: at, weeks }: EvidenceNumbers): string =>
  at === null
    ? ''
    : ` Al ritmo ${weeks === null ? 'visto hasta ahora' : `de ${f.plural(weeks, 'semana', 'semanas')} con revisiones`}, 10 plantas infestadas de cada 100 pasan a ser unas ${at.next} en una semana (de ${at.lower} a ${at.upper}).`;

const thin = (n: EvidenceNumbers): string =>
  `${n.weeks === null ? '' : `: hasta ahora hay ${f.plural(n.weeks, 'semana', 'semanas')} con revisiones`}${n.plants === null ? '' : `, ${n.plants} en total`}`;

const shared = ({ share }: EvidenceNumbers): string => (share === null ? '' : `, ${share}`);
const on = (n: EvidenceNumbers): string => `${n.some ?? 'algunas plantas'}${shared(n)}`;
const noted = 'en las que se anotó';
const lately = ({ weeks }: EvidenceNumbers): string =>
  weeks === null ? '' : weeks === 1 ? ' en la última semana' : ` en las últimas ${f.plural(weeks, 'semana', 'semanas')}`;
const onLately = (n: EvidenceNumbers): string => `${n.some ?? 'algunas plantas'} ${noted}${shared(n)}${n.share !== null && n.weeks !== null ? ',' : ''}${lately(n)}`;
const notes = (n: EvidenceNumbers): string => {
  if (n.noted === null) return `Se anotaron ninfas grandes y pupas${lately(n)}`;
  const { some, all } = n.noted;
  const found = some === 0 ? 'ninguna' : f.count(some);
  const were = some > 1 ? 'estaban parasitadas, comidas o secas' : `estaba parasitada, comida ${some === 0 ? 'ni' : 'o'} seca`;
  return `De ${f.plural(all, 'ninfa grande o pupa anotada', 'ninfas grandes y pupas anotadas')}${lately(n)}, ${found}${n.share === null ? '' : `, ${n.share},`} ${were}`;
};

const round = (n: EvidenceNumbers): string =>
  [
    `Las últimas revisiones abarcaron ${n.plants ?? 'algunas plantas'}`,
    n.share === null ? '' : `, el ${n.share} del cultivo`,
    n.blocks === null ? '' : n.ofBlocks === 1 ? ', en su único bloque' : `, en ${n.blocks} bloques`,
    n.days === null || n.days < 7 ? '' : `, y son de hace ${f.plural(n.days, 'día', 'días')}`,
  ].join('');

/** What the evidence says, as the end of a sentence and as a line of its own. */
export const evidence: typeof en = {
  reason: {
    limit: {
      below: 'está por debajo del límite',
      above: 'está por encima del límite',
      too_close: 'está demasiado cerca del límite para saberlo',
      too_few: 'se revisaron pocas plantas',
      no_limit: 'no hay límite fijado para los próximos días',
      cannot_say: 'nadie ha revisado todavía',
    },
    forecast: {
      below: 'debería quedar por debajo del próximo límite',
      above: 'si nada cambia estará por encima del próximo límite',
      too_close: 'no está claro si pasará el próximo límite',
      no_limit: 'no hay límite fijado para los próximos días',
      cannot_say: 'aún no se puede decir nada de las próximas semanas',
    },
    growth: {
      rising: 'va en aumento',
      falling: 'va a menos',
      steady: 'ni sube ni baja con claridad',
      cannot_say: 'aún no se conoce su ritmo',
    },
    spread: {
      hot_spots: 'está en focos',
      widespread: 'está en la mayoría de los bloques revisados',
      single_block: 'está en un solo bloque',
      none_found: 'no se encontró en ningún bloque',
      cannot_say: 'aún no se sabe cuánto se ha extendido',
    },
    foliage: {
      light_only: 'solo la tienen los cultivares de hoja clara',
      dark_too: 'también la tienen los de hoja oscura',
      dark_more: 'los de hoja oscura la tienen aún más',
      none_found: 'no la tienen ni los de hoja clara ni los de hoja oscura',
      cannot_say: 'aún no se pueden comparar hojas claras y oscuras',
    },
    main_cultivar: { main: 'es un cultivar principal', not_main: 'no es un cultivar principal', cannot_say: 'no se sabe cuánto depende de él' },
    new_growth: {
      found: 'está en los brotes nuevos',
      not_found: 'no se vio en los brotes nuevos',
      not_looked_for: 'no se distinguieron hojas viejas y brotes nuevos',
    },
    adults: { found: 'se vieron adultos', not_found: 'no se vieron adultos', not_looked_for: 'no se buscaron adultos' },
    dense_leaves: {
      found: 'hay hojas llenas de mosca',
      not_found: 'no hay hojas llenas de mosca',
      not_looked_for: 'nadie buscó hojas llenas de mosca',
    },
    late_nymphs: {
      most_not_healthy: 'la mayoría de las ninfas grandes están parasitadas, comidas o secas',
      most_healthy: 'la mayoría de las ninfas grandes están vivas y sanas',
      not_found: 'no se vieron ninfas grandes',
      not_looked_for: 'nadie miró qué es de las ninfas',
      cannot_say: 'se vieron pocas ninfas grandes',
    },
    sampling: { met: 'las últimas revisiones cumplen las reglas de una ronda', not_met: 'las últimas revisiones son pocas o viejas para una ronda', cannot_say: 'aún no hubo ninguna ronda' },
    time_left: { time: 'hay tiempo', short: 'queda poco tiempo', past: 'el tiempo para un cambio ya pasó', cannot_say: 'no se sabe cuánto tiempo queda' },
  },
  line: {
    limit: {
      below: (n) => `${counted(n)}: por debajo ${than(limited(n))}.`,
      above: (n) => `${counted(n)}: por encima ${than(limited(n))}.`,
      too_close: (n) => `${counted(n)}: demasiado cerca ${than(limited(n))} para saber de qué lado está el cultivo.`,
      too_few: (n) => `${counted(n)}: son pocas plantas para juzgar ${limited(n)}.`,
      no_limit: (n) => `${counted(n)}; no hay límite fijado para los próximos días.`,
      cannot_say: () => 'Nadie lo ha revisado todavía esta temporada.',
    },
    forecast: {
      below: (n) => `${ahead(n)}.`,
      above: (n) => `${ahead(n)}.`,
      too_close: (n) => `${ahead(n)}. Eso no es bastante seguro para guiarse por ello.`,
      no_limit: () => 'No hay límite fijado para los próximos días, así que no hay con qué compararlos.',
      cannot_say: (n) => `Aún no se pueden calcular las próximas semanas${thin(n)}.`,
    },
    growth: {
      rising: (n) => `Va en aumento.${pace(n)}`,
      falling: (n) => `Va a menos.${pace(n)}`,
      steady: (n) => `Ni sube ni baja con claridad.${pace(n)}`,
      cannot_say: (n) => `Aún no se puede decir si sube o baja${thin(n)}.`,
    },
    spread: {
      hot_spots: (n) => `Se encontró en ${n.blocks ?? 'unos pocos'} bloques revisados: en focos, no en todas partes.`,
      widespread: (n) => `Se encontró en ${n.blocks ?? 'la mayoría de los'} bloques revisados: está por todas partes, no en focos.`,
      single_block: (n) => `Se encontró en ${n.blocks ?? 'uno de los'} bloques revisados: en un solo sitio, hasta donde se miró.`,
      none_found: (n) => `No se encontró en ningún bloque${n.ofBlocks === null ? '' : `; se ${n.ofBlocks === 1 ? 'revisó' : 'revisaron'} ${f.plural(n.ofBlocks, 'bloque', 'bloques')}`}.`,
      cannot_say: () => 'No se puede ver si está en focos o por todas partes: para eso hacen falta al menos dos bloques.',
    },
    foliage: {
      light_only: (n) =>
        `En este invernadero solo la tienen cultivares de hoja clara${n.plants === null ? '' : `; de hoja oscura, ninguna de ${n.plants}`}. Empieza por las hojas claras, así que aún no está en todas partes.`,
      dark_too: (n) => `En este invernadero también la tienen los de hoja oscura: ${on(n)}. ${n.few ? 'Son pocas hasta ahora; a esos llega al final, así que vigílelos.' : 'A esos llega al final, así que puede haberse extendido mucho.'}`,
      dark_more: (n) => `En este invernadero los de hoja oscura la tienen aún más que los de hoja clara: ${on(n)}. ${n.few ? 'Son pocas hasta ahora; a esos llega al final, así que vigílelos.' : 'A esos llega al final, así que puede haberse extendido mucho.'}`,
      none_found: (n) => `No se encontró en cultivares de hoja clara de este invernadero ni en los de hoja oscura${n.plants === null ? '' : ` (${n.plants} de estos)`}.`,
      cannot_say: (n) => `No se pueden comparar hojas claras y oscuras: de unas u otras se revisaron muy pocas plantas; de hoja oscura, ${n.plants ?? 'ninguna'}.`,
    },
    main_cultivar: {
      main: (n) => `${n.cultivar} es un cultivar principal de ${n.house}${n.share === null ? '' : `, el ${n.share} de sus plantas`}: mucho depende de él.`,
      not_main: (n) => `${n.cultivar} no es un cultivar principal de ${n.house}${n.share === null ? '' : `, solo el ${n.share} de sus plantas`}.`,
      cannot_say: () => 'No se puede decir qué parte del invernadero ocupa: no se sabe cuántas plantas hay.',
    },
    new_growth: {
      found: (n) => `Se vio en los brotes nuevos de ${onLately(n)}: ${n.few ? 'pocas hasta ahora.' : 'sube con la planta, señal de que los enemigos naturales se quedan atrás.'}`,
      not_found: (n) => `No se vio en los brotes nuevos${n.plants === null ? '' : ` de ${n.plants} ${noted}`}${lately(n)}.`,
      not_looked_for: () => 'Nadie anotó si está en los brotes nuevos. Anótelo en la próxima revisión: dice mucho.',
    },
    adults: {
      found: (n) => `Adultos en ${onLately(n)}: ${n.few ? 'pocas hasta ahora.' : 'ponen huevos nuevos.'}`,
      not_found: (n) => `Ningún adulto${n.plants === null ? '' : ` en ${n.plants} ${noted}`}${lately(n)}.`,
      not_looked_for: () => 'Nadie anotó si hay adultos.',
    },
    dense_leaves: {
      found: (n) => `Hojas llenas de mosca en ${onLately(n)}: ${n.few ? 'pocas hasta ahora; ahí los enemigos naturales casi no dan abasto.' : 'ahí los enemigos naturales casi no dan abasto.'}`,
      not_found: (n) => `Ninguna hoja llena de mosca${n.plants === null ? '' : ` en ${n.plants} ${noted}`}${lately(n)}.`,
      not_looked_for: () => 'Nadie anotó si hay hojas llenas de mosca.',
    },
    late_nymphs: {
      most_not_healthy: (n) => `${notes(n)}: los enemigos naturales trabajan.`,
      most_healthy: (n) => `${notes(n)}: los enemigos naturales no dan abasto.`,
      not_found: (n) => `No se anotaron ninfas grandes ni pupas${lately(n)}: no se puede leer en ellas el trabajo de los enemigos naturales.`,
      not_looked_for: () => 'Nadie anotó qué es de las ninfas grandes y pupas: vivas, parasitadas, comidas o secas.',
      cannot_say: (n) => `${notes(n)}: son pocas anotaciones, o demasiado mezcladas, para saber si los enemigos naturales dan abasto.`,
    },
    sampling: {
      met: (n) => `${round(n)}: eso cumple las reglas de una ronda.`,
      not_met: (n) => `${round(n)}: es poco, o hace demasiado tiempo, para las reglas de una ronda. Lea las cifras con cuidado.`,
      cannot_say: () => 'Aún no hubo ninguna ronda.',
    },
    time_left: {
      time: (n) => `${n.days === null ? 'Hay tiempo' : `${n.days === 1 ? 'Queda' : 'Quedan'} ${f.plural(n.days, 'día', 'días')}`}${n.on === null ? '' : `, hasta el ${n.on},`} en que un cambio aún sirve${n.few ? '' : ': da tiempo a ver si los enemigos naturales pueden con ella'}.`,
      short: (n) => `Solo ${n.days === 1 ? 'queda' : 'quedan'} ${n.days === null ? 'pocos días' : f.plural(n.days, 'día', 'días')}${n.on === null ? '' : `, hasta el ${n.on},`} en que un cambio aún hace efecto: lo que se decida tiene que empezar pronto.`,
      past: (n) => `El tiempo en que un cambio aún hace efecto se acabó${n.on === null ? '' : ` el ${n.on}`}.`,
      cannot_say: () => 'No se puede decir cuánto tiempo queda para un cambio: la temporada no tiene fecha para eso.',
    },
  },
};
