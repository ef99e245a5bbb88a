import { mark } from '../../trends/mark';
import type { advice as en } from '../en/advice';
import { formatIn } from '../format';
import { evidence, than } from './advice-evidence';

const f = formatIn('es');

/** "del 15 sept", "del 10 al 25 sept" */
function dates(from: string, to: string): string {
  if (from === to) return `del ${f.date(from)}`;
  return `del ${from.slice(0, 7) === to.slice(0, 7) ? String(Number(from.slice(8))) : f.date(from)} al ${f.date(to)}`;
}

export const advice: typeof en = {
  title: 'Qué hacer',
  lead: 'Lo que dicen las revisiones y lo que se decidió aquí. La página calcula; usted decide.',
  leadCultivar: 'Un límite se juzga invernadero por invernadero: una hoja para cada uno. La página calcula; usted decide.',
  plantsOf: (n) => (n === 1 ? 'planta' : 'plantas'),
  unread: 'Esta página no sabe leer esta línea. Recárguela: puede haber una versión nueva.',
  leadLot: 'Un límite se juzga con todas las plantas de un cultivar en un invernadero. Por eso esto trata de todas las que rodean al lote, no solo del lote. La página calcula; usted decide.',
  of: (cultivar, house) => `${cultivar} en ${house}`,
  emptyTitle: 'Aún no hay nada que aconsejar',
  empty: 'El consejo se da para un cultivar en un invernadero. Aparece aquí cuando hay plantas suyas y alguien ha revisado algunas.',
  toWalk: 'Ir al recorrido',

  suggest: {
    look_at_more: (of, plants, exactly) => {
      if (plants === null) return `${mark('Revise más plantas')} de ${of}`;
      return `${mark(`Revise ${exactly ? '' : 'al menos '}${f.plural(plants, 'planta', 'plantas')} más`)} de ${of}`;
    },
    stay_biological: (of) => `${mark('Siga con el control biológico')} para ${of}`,
    deal_with_hot_spots: (of) => `${mark('Atienda los focos')} de ${of}`,
    consider_selective: (of) => `${mark('Considere un control químico selectivo')} para ${of}`,
    nothing_to_say: (of) => `${mark('Aún no hay nada que decir')} de ${of}`,
  },
  some: (some, organism, share) => `${mark(`${some} plantas`)} tienen ${organism}, ${mark(share)}`,
  none: (plants, organism, upper) => `no se vio ${organism} en ${mark(plants)}, así que lo más probable es que la tenga como mucho el ${mark(upper)}`,
  limit: (percent, from, to) => `el límite del ${percent} ${dates(from, to)}`,
  standing: {
    below: (limit) => `, por debajo ${than(limit)}.`,
    above: (limit) => `, por encima ${than(limit)}.`,
    too_close: (limit) => `, demasiado cerca ${than(limit)}.`,
    too_few: (limit) => `; son pocas plantas para juzgar ${limit}.`,
    no_limit: () => '. No hay límite fijado para los próximos días.',
  },
  ahead: {
    below: (limit, chance) => `; debería quedar por debajo ${than(limit)} (probabilidad de pasarlo: ${chance}).`,
    above: (limit, chance) => `; si sigue así pasará ${limit} (probabilidad: ${chance}).`,
    too_close: (limit, chance) => `; no está claro si pasará ${limit} (probabilidad: ${chance}).`,
  },
  limitOf: (percent) => `el límite del ${percent}`,
  limitOn: (percent, on) => `el límite del ${percent} del ${on}`,
  noLooks: 'nadie lo ha revisado todavía esta temporada.',
  nothingToDo: (of) => `${mark('Ya no hay nada que hacer')} con ${of}`,
  goneTag: 'Ya no hay plantas',
  gone: 'ya no queda ninguna planta allí.',
  stale: (weeks) => `La última revisión fue hace ${f.plural(weeks, 'semana', 'semanas')}.`,
  sample: (plants, standing, bounds) =>
    `Las ${plants} son solo una muestra. En ${standing === null ? 'todo el cultivo' : `las ${standing} que hay`}, lo más probable es que la proporción esté en algún punto de ${bounds} %`,
  means: {
    below: (limit) => `: todo eso queda por debajo del ${limit}.`,
    above: (limit) => `: todo eso queda por encima del ${limit}.`,
    too_close: (limit) => `: eso va de menos del ${limit} a más del ${limit}, así que estas revisiones no pueden decir de qué lado está el cultivo.`,
    too_few: (limit) => `: con tan pocas plantas no se compara con el ${limit}.`,
    none_found: (limit) => `: eso aún pasa del ${limit}, así que se revisaron muy pocas plantas para estar seguros de que está por debajo.`,
    no_limit: () => '. Sin límite no hay con qué compararlo. Los límites los fijan titulares y cultivadores en Ajustes.',
  },
  meansAhead: 'Cómo sigue a partir de ahí se calcula con su ritmo hasta ahora.',
  smallest: (smallest) => `Este límite se juzga a partir de ${smallest}, o del 5 % del cultivo si son menos.`,
  noLooksYet: 'Las cifras salen de las revisiones: recorra un bloque, levante plantas y cuente las que la tienen y las que no.',

  suggestion: 'Qué sugieren las cifras',
  code: {
    look_at_more: 'Revisar más plantas',
    stay_biological: 'Seguir con el control biológico',
    deal_with_hot_spots: 'Atender los focos',
    consider_selective: 'Considerar un control químico selectivo',
    nothing_to_say: 'Aún nada que decir',
  },
  asks: {
    look_at_more: 'Las plantas revisadas hasta ahora dejan la pregunta abierta. Tome las nuevas de todos los bloques, no de la peor mesa.',
    stay_biological: (by) => `Siga con los enemigos naturales como hasta ahora y vuelva a revisar a más tardar el ${by}.`,
    deal_with_hot_spots:
      'Ocúpese de los sitios donde está y deje el resto del invernadero como está: saque las peores plantas, refuerce allí los enemigos naturales o trate solo allí.',
    consider_selective:
      'Puede que los enemigos naturales solos no la bajen a tiempo. Háblelo ya con su asesor: qué está autorizado para este cultivo, qué respeta a los enemigos naturales y si todavía puede servir a tiempo.',
    nothing_to_say: 'Las cifras no bastan para una sugerencia. Eso no significa que todo vaya bien.',
  },
  settles: {
    none: (n, ahead) =>
      `Puede parar después de ${n === 1 ? 'la próxima solo si no la tiene' : `las próximas ${f.count(n)} solo si ninguna la tiene`}: entonces ${ahead ? 'lo probable es que siga' : 'está'} por debajo del límite.`,
    all: (n, ahead) =>
      `Puede parar después de ${n === 1 ? 'la próxima solo si la tiene' : `las próximas ${f.count(n)} solo si todas la tienen`}: entonces ${ahead ? 'lo probable es que pase el' : 'está por encima del'} límite.`,
  },
  goOn: 'Con cualquier otro resultado, siga. Después de cada revisión la página vuelve a calcular cuántas faltan.',
  everyPlant: 'Son todas las plantas que hay: entonces se sabe.',
  houses: {
    title: { lot: 'Qué hacer en cada invernadero', cultivar: 'Qué hacer en cada invernadero', house: 'Qué hacer con cada cultivar' },
    this: { lot: 'Este lote', cultivar: 'Este cultivar, todos los invernaderos', house: 'Este invernadero, todos los cultivares' },
    all: (cultivar, house) => `Todo ${cultivar} en ${house}`,
    standing: {
      below: 'por debajo del límite',
      above: 'por encima del límite',
      too_close: 'demasiado cerca para saberlo',
      too_few: 'muy pocas plantas revisadas para estar seguros',
      no_limit: 'sin límite',
      no_looks: 'aún sin revisar',
    },
    more: (n) => `revise ${f.count(n)} más`,
    rest: (n) => (n === 1 ? 'revise la última' : `revise las últimas ${f.count(n)}`),
    moreUpTo: (n, to, all, open) =>
      `revise ${f.count(n)} primero${to === null ? '' : ` y probablemente ${all ? `las ${f.count(to)} que quedan` : `unas ${f.count(to)} en total`}`}; ${open === null ? 'vea' : `abra ${open}`} más abajo${open === null ? '' : ' para ver'} cuándo parar`,
  },
  likely: (likely, all) => `Cuente con revisar unas ${likely} más${all ? ' (todas las que quedan)' : ''} si la proporción sigue igual.`,
  notEven: (plants) => `Si la proporción sigue igual, no bastan ni las ${plants} que hay: simplemente está cerca del límite. Entonces juzga usted, y la próxima ronda dirá más.`,
  round: (plants) => `${f.plural(plants, 'planta más hace', 'plantas más hacen')} una ronda completa, según las reglas de la ronda.`,
  why: (reasons) => `Por qué: ${reasons}.`,
  ...evidence,

  evidence: 'A favor y en contra de seguir con el control biológico',
  evidenceLead:
    'Cada línea apunta a un lado: a favor de seguir con el control biológico como hasta ahora, en contra, o deja la cosa abierta. Las líneas no se suman; primero van las que sostienen la sugerencia.',
  noEvidence: 'Aún no hay indicios. Crecen con cada revisión.',
  direction: { for_biological: 'a favor de seguir', against_biological: 'en contra de seguir', open: 'no aclara' },
  topic: {
    limit: 'Proporción y límite',
    forecast: 'Próximas semanas',
    growth: 'Ritmo',
    spread: 'Dónde está',
    foliage: 'Hojas claras y oscuras',
    main_cultivar: 'Peso del cultivar',
    new_growth: 'Brotes nuevos',
    adults: 'Adultos',
    dense_leaves: 'Hojas llenas de mosca',
    late_nymphs: 'Ninfas grandes',
    sampling: 'Reglas de la ronda',
    time_left: 'Tiempo que queda',
  },

  cautions: 'Antes de actuar',
  caution: {
    label: 'La etiqueta es la ley. Lo que diga sobre cultivo, plaga, cantidad y lugar va antes que todo lo de esta página.',
    reentry: 'Después de un tratamiento nadie entra antes de que acabe el plazo de reentrada de la etiqueta.',
    licensed: 'Lo que exige licencia o carné lo aplica solo una persona que lo tenga, o bajo su supervisión.',
    regulated:
      'En algunos países es plaga regulada. Si es su caso, no mueva, venda ni tire plantas y avise a Sanidad Vegetal.',
    held: 'Hay plantas de este cultivo inmovilizadas: no se mueven, dividen, mezclan ni venden. Vaya allí al final, con herramientas propias.',
    zero_is_not_free: 'No haber encontrado ninguna no significa estar libre de la plaga. Las cifras dicen cuántas plantas pueden tenerla aun así.',
    rule_of_thumb: 'Los límites son reglas prácticas. Los fijan usted y su asesor.',
    compatibility: 'Pregunte al proveedor de sus enemigos naturales, y lea en la etiqueta, qué les hace un tratamiento y durante cuánto tiempo.',
  },

  decided: 'Qué se decidió',
  decidedLead: 'Sugieran lo que sugieran las cifras, decide una persona. Anote qué y por qué; las cifras de hoy se guardan con ello.',
  noDecision: 'Esta temporada aún no se ha decidido nada.',
  mayNot: 'Las decisiones las registran cultivadores y titulares de la finca; usted puede leerlas aquí.',
  noSeason: 'Una decisión pertenece a una temporada y a una plaga. Prepárelas primero.',
  record: 'Registrar una decisión',
  recordOf: (of) => `Registrar una decisión sobre ${of}`,
  choiceLabel: '¿Qué se decide?',
  choice: {
    look_at_more: 'Revisar más plantas',
    stay_biological: 'Seguir con el control biológico',
    deal_with_hot_spots: 'Atender los focos',
    selective_control: 'Control químico selectivo',
    something_else: 'Otra cosa',
  },
  because: '¿Por qué?',
  becauseHint: 'Lo que inclinó la balanza: lo que vio, lo que dijo su asesor, lo que quiere ver la semana que viene.',
  keptWith: (figures) => `Se guarda con ello: ${figures}`,
  keptDraft: 'Esto es lo que había empezado. Aún no está guardado.',
  save: 'Guardar la decisión',
  recorded: 'Decisión guardada.',
  takenBack: 'Justo después de guardarla.',
  chooseFirst: 'Elija una.',
  whyFirst: 'Bastan pocas palabras, pero diga por qué.',
  by: (name, moment) => `${name}, ${moment}`,
  changedBy: (name) => `último cambio de ${name}`,
  then: 'Cifras de entonces',
  now: (figures) => `Cifras de ahora: ${figures}`,
  suggestedThen: 'Se sugería',
  noFigures: 'sin revisiones',
  figureShare: (share, week) => (week === '' ? share : `${week}: ${share}`),
  figureLimit: (percent, on) => (on === '' ? `límite ${percent}` : `límite ${percent} desde el ${on}`),
  figureChance: (chance) => `probabilidad de pasar el próximo límite: ${chance}`,
  done: 'Hecho',
  doneOn: (date) => `hecho el ${date}`,
  notDone: 'aún sin anotar',
  sayDone: 'Ya se hizo',
  correctDone: 'Corregir cuándo se hizo',
  doneLabel: 'Se hizo el',
  doneNote: 'Qué se hizo',
  saveDone: 'Guardar',
  doneSaved: (date) => `Anotado: hecho el ${date}.`,
  withdraw: 'Retirar',
  withdrawOf: (decision) => `Retirar: ${decision}`,
  sayDoneOf: (decision) => `Ya se hizo: ${decision}`,
  correctDoneOf: (decision) => `Corregir cuándo se hizo: ${decision}`,
  withdrawWhy: '¿Por qué se retira?',
  withdrawHint: 'La decisión queda en la lista de retiradas, con su motivo.',
  withdrawn: 'Decisión retirada.',
  withdrawnBecause: (reason) => `Retirada: ${reason}`,
  withdrawnList: 'Decisiones retiradas',
  noneWithdrawn: 'Esta temporada no se retiró ninguna.',
  staleNow: (name) => `${name} cambió esta decisión mientras usted escribía. No se pierde nada de lo escrito. Así está ahora:`,
  saveOver: 'Guardar lo mío encima',
};
