import { mark } from '../../trends/mark';
import type { trends as en } from '../en/trends';
import { formatIn } from '../format';
import { limitSources } from './limit-sources';
import { held } from './trends-held';
import { looks } from './trends-looks';

const f = formatIn('es');
const be = (n: number): string => (n === 1 ? 'está' : 'están');
const has = (n: number): string => (n === 1 ? 'tiene' : 'tienen');

/** "del 10 al 25 sept", "del 28 ago al 4 sept", "el 10 sept" */
function dates(from: string, to: string): string {
  if (from === to) return `el ${f.date(from)}`;
  const first = from.slice(0, 7) === to.slice(0, 7) ? String(Number(from.slice(8))) : f.date(from);
  return `del ${first} al ${f.date(to)}`;
}

const compared = (n: number): string => f.plural(n, 'comparación entre bloques', 'comparaciones entre bloques');

export const trends: typeof en = {
  title: 'Tendencias',
  places: { label: 'Páginas de Tendencias', '/trends': 'Semana a semana', '/trends/arrivals': 'Llegadas por edad', '/trends/map': 'Mapa de un invernadero' },
  quoted: (text) => `«${text}»`,
  lead: 'La proporción de plantas infestadas, semana a semana.',
  groupBy: 'Agrupar por',
  otherGroupings: 'Más formas de agrupar',
  filters: 'Acotar',
  by: {
    lot: 'Lote',
    cultivar: 'Cultivar',
    arrival: 'Fecha de llegada',
    arrival_week: 'Semana de llegada',
    shipped: 'Fecha de envío',
    supplier: 'Proveedor',
    farm: 'Finca de origen',
    form: 'Forma',
    foliage: 'Tono del follaje',
    bract: 'Color de bráctea',
    block: 'Bloque',
    section: 'Sección',
    house: 'Invernadero',
    site: 'Finca',
  },
  groups: {
    lot: (n) => f.plural(n, 'lote', 'lotes'),
    cultivar: (n) => f.plural(n, 'cultivar', 'cultivares'),
    arrival: (n) => f.plural(n, 'fecha de llegada', 'fechas de llegada'),
    arrival_week: (n) => f.plural(n, 'semana de llegada', 'semanas de llegada'),
    shipped: (n) => f.plural(n, 'fecha de envío', 'fechas de envío'),
    supplier: (n) => f.plural(n, 'proveedor', 'proveedores'),
    farm: (n) => f.plural(n, 'finca de origen', 'fincas de origen'),
    form: (n) => f.plural(n, 'forma', 'formas'),
    foliage: (n) => f.plural(n, 'tono del follaje', 'tonos del follaje'),
    bract: (n) => f.plural(n, 'color de bráctea', 'colores de bráctea'),
    block: (n) => f.plural(n, 'bloque', 'bloques'),
    section: (n) => f.plural(n, 'sección', 'secciones'),
    house: (n) => f.plural(n, 'invernadero', 'invernaderos'),
    site: (n) => f.plural(n, 'finca', 'fincas'),
  },
  allGroups: {
    lot: 'Todos los lotes',
    cultivar: 'Todos los cultivares',
    arrival: 'Todas las fechas de llegada',
    arrival_week: 'Todas las semanas de llegada',
    shipped: 'Todas las fechas de envío',
    supplier: 'Todos los proveedores',
    farm: 'Todas las fincas de origen',
    form: 'Todas las formas',
    foliage: 'Todos los tonos del follaje',
    bract: 'Todos los colores de bráctea',
    block: 'Todos los bloques',
    section: 'Todas las secciones',
    house: 'Todos los invernaderos',
    site: 'Todas las fincas',
  },
  unknown: {
    lot: 'Lote desconocido',
    cultivar: 'Cultivar desconocido',
    arrival: 'Fecha de llegada desconocida',
    arrival_week: 'Semana de llegada desconocida',
    shipped: 'Fecha de envío desconocida',
    supplier: 'Proveedor desconocido',
    farm: 'Finca de origen desconocida',
    form: 'Forma desconocida',
    foliage: 'Tono del follaje desconocido',
    bract: 'Color de bráctea desconocido',
    block: 'Bloque desconocido',
    section: 'Sin sección',
    house: 'Invernadero desconocido',
    site: 'Finca desconocida',
  },
  mixed: 'Lotes mezclados (de varias llegadas)',
  severalFarms: (names) => (names === '' ? 'Varias fincas de origen' : `Varias fincas de origen: ${names}`),
  arrivedOn: (date) => `Llegó el ${date}`,
  leftOn: (date) => `Salió el ${date}`,
  arrivedIn: (week, date) => `Llegó en la ${week} (desde el ${date})`,
  mixedFrom: (week, date) => `Lotes mezclados, primera llegada en la ${week} (desde el ${date})`,
  foliage: (tone) => `follaje ${tone}`,
  bract: (colour) => `bráctea ${colour}`,
  site: 'Finca',
  allSites: 'Todas mis fincas',
  house: 'Invernadero',
  allHouses: 'Todos los invernaderos',
  cultivar: 'Cultivar',
  allCultivars: 'Todos los cultivares',
  allTones: 'Todos los tonos de follaje',
  allArrivals: 'Todas las llegadas',
  organism: 'Qué se busca',
  season: 'Temporada',
  seasonYear: (year, crop) => (crop === '' ? `Temporada ${year}` : `${crop} ${year}`),
  asOf: (date) => `a ${date}`,
  sorted: {
    known: 'Primero las proporciones altas más seguras, para que 1 de 5 no vaya antes que 15 de 80. Cada ficha habla de su última semana.',
    limit: 'Primero lo que pide una decisión. Cada ficha habla de su última semana.',
    name: 'Por nombre. Cada ficha habla de su última semana.',
  },
  orderChoice: 'Orden',
  orders: { known: 'Más altas con seguridad', limit: 'Por encima del límite', name: 'Nombre' },
  scale: (top) =>
    `Una escala para todos los gráficos, de 0 a ${top}. La banda es el intervalo, cortada arriba donde se revisaron pocas plantas.`,

  standing: {
    above: 'Por encima del límite',
    too_close: 'Demasiado cerca para saberlo',
    too_few: 'Pocas plantas',
    no_limit: 'Sin límite',
    below: 'Por debajo del límite',
    no_looks: 'Sin revisiones',
  },
  standingOf: (name, standing) => `${name}: ${standing.toLowerCase()}`,
  answer: {
    page: (above, groups, limit, rest) => {
      return `${mark(`${f.count(above)} de ${groups}`)} ${be(above)} por encima ${/^\d/.test(limit) ? 'del' : 'de'} ${limit}${rest === '' ? '' : `; ${rest}`}.`;
    },
    itsLimit: (n) => (n === 1 ? 'su límite' : 'sus límites'),
    rest: {
      too_close: (n) => `${mark(f.count(n))} ${be(n)} demasiado cerca para saberlo`,
      too_few: (n) => `${f.count(n)} ${has(n)} pocas plantas revisadas`,
      below: (n) => `${f.count(n)} ${be(n)} por debajo`,
      no_limit: (n) => `${f.count(n)} no ${has(n)} límite`,
      no_looks: (n) => `${f.count(n)} no ${has(n)} revisiones`,
    },
    limit: (percent, from, to) => `Límite: ${percent} ${dates(from, to)}.`,
    noLimits: (groups, organism, found) =>
      `Aquí no se juzga ningún límite para ${groups}. En su última semana, ${mark(f.count(found))} ${has(found)} plantas con ${organism}.`,
    unnamed: (name, standing) => `${name}: ${standing.toLowerCase()}.`,
    named: (name, sentence) => `${name}, ${sentence}`,
    some: (week, some, organism, share) => `${week}: ${mark(`${some} plantas`)} tienen ${organism}, ${mark(share)}.`,
    none: (week, plants, organism, confidence, upper) =>
      `${week}: no se vio ${organism} en ${mark(plants)}; con ${confidence} de confianza la tienen menos del ${mark(upper)}.`,
    above: (percent, from, to) => `${mark('Por encima del límite')} del ${percent}, que vale ${dates(from, to)}.`,
    below: (percent, from, to) => `Por debajo del límite del ${percent}, que vale ${dates(from, to)}.`,
    tooClose: (percent, from, to, more) =>
      `El límite es del ${percent} ${dates(from, to)}. ${mark('Demasiado cerca para saberlo')}${more === null ? '.' : `: revise ${f.count(more)} más.`}`,
    tooFew: (percent, from, to, more) =>
      `El límite es del ${percent} ${dates(from, to)}. ${mark('Muy pocas plantas')} para juzgarlo${more === null ? '.' : `: revise ${f.count(more)} más.`}`,
    noLimit: 'Aquí no se juzga ningún límite.',
    noLooks: 'Aún no hay revisiones esta temporada.',
    soFar: (blocks) => `esta semana hasta ahora, ${blocks} bloques`,
    stale: (weeks) => `Eso fue hace ${f.plural(weeks, 'semana', 'semanas')}.`,
  },
  change: (points) => `Cambio desde la semana anterior con revisiones: ${points} puntos porcentuales.`,
  emptyTitle: 'Aún no hay revisiones que mostrar',
  empty: 'Una tendencia se hace de revisiones: recorra un bloque, cuente las plantas con y sin la plaga, y la semana aparece aquí.',
  emptyFiltered: 'Con estos filtros no se revisó nada. Amplíelos o mire otra temporada.',
  emptySeasonTitle: 'Aún no hay temporada',
  emptySeason: 'Prepare primero un cultivo y su temporada; de ella dependen lotes y revisiones.',
  toWalk: 'Ir al recorrido',
  toSetup: 'Ir a los ajustes',
  leftOut: (onPurpose, withdrawn) => {
    const parts = [
      ...(onPurpose > 0 ? [`${f.plural(onPurpose, 'revisión hecha', 'revisiones hechas')} a propósito (en un foco, por ejemplo)`] : []),
      ...(withdrawn > 0 ? [f.plural(withdrawn, 'revisión retirada', 'revisiones retiradas')] : []),
    ];
    return `Fuera de los recuentos: ${f.list(parts)}.`;
  },
  noneLeftOut: 'Ninguna revisión quedó fuera de los recuentos.',
  about: {
    lot: (houses) => (houses > 1 ? `Este lote, ${houses === 2 ? 'los dos' : `los ${f.count(houses)}`} invernaderos` : 'Este lote'),
    cultivar: 'Este cultivar, todos sus invernaderos',
    house: 'Este invernadero, todos sus cultivares',
  },
  rangeMeans: (share, bounds, by) => `El ${share} de las revisadas; en ${by === 'lot' ? 'todo el lote' : 'el conjunto'}, probablemente entre el ${bounds.replace('–', ' y el ')} %.`,
  growth: {
    noneNow: 'En la última semana no se encontró ninguna: aún no se puede decir si crece.',
    growing: (pace, tail) => `Ha ido ${mark('creciendo')}: ${pace}${tail}.`,
    shrinking: (pace, tail) => `Ha ido ${mark('bajando')}: ${pace}${tail}.`,
    steady: () => `${mark('Apenas ha cambiado')} de una semana a otra.`,
    unclear: () => `Aún no se sabe si ${mark('crece o baja')}.`,
    up: (part) => `sube ${part} por semana`,
    down: (part) => `baja ${part} por semana`,
    times: (times) => `en una semana se multiplica más o menos por ${times}`,
    part: {
      little: 'menos de una décima parte',
      tenth: 'más o menos una décima parte',
      fifth: 'más o menos una quinta parte',
      quarter: 'más o menos una cuarta parte',
      third: 'más o menos un tercio',
      half: 'más o menos la mitad',
      two_thirds: 'más o menos dos tercios',
      three_quarters: 'más o menos tres cuartos',
      most: 'más de cuatro quintas partes',
    },
    pace: (from, to, bounds) => `A este ritmo, un ${from} pasa a ser un ${to}, más o menos, en una semana (${bounds}).`,
    doubling: (time) => `, y se duplica en más o menos ${time}`,
    halving: (time) => `, y se reduce a la mitad en más o menos ${time}`,
    weeks: (n) => (n === 1 ? 'una semana' : f.plural(n, 'semana', 'semanas')),
    days: (n) => (n === 1 ? 'un día' : f.plural(n, 'día', 'días')),
    note: (organism, confidence, pace) =>
      `El ritmo se calcula con las plantas con ${organism} por cada planta sin ella. ${pace} El paréntesis contiene el valor verdadero con ${confidence} de confianza.`,
  },
  aheadTitle: 'Qué significan crecimiento y previsión',
  forecast: {
    on: (date, begins, share, bounds, chance) =>
      `El ${date}${begins ? ', cuando empieza el próximo límite,' : ''} puede estar en el ${mark(share)} (lo más probable, entre el ${bounds.replace('–', ' y el ')}\u00a0%)${chance === '' ? '' : `; ${chance}`}.`,
    limit: (percent) => `del ${percent}`,
    over: {
      hardly: (limit, chance) => `es ${mark('muy improbable')} (${chance}) que entonces pase ${limit}`,
      unlikely: (limit, chance) => `es ${mark('improbable')} (${chance}) que entonces pase ${limit}`,
      even: (limit, chance) => `es ${mark('tan probable como no')} (${chance}) que entonces pase ${limit}`,
      likely: (limit, chance) => `es ${mark('probable')} (${chance}) que entonces pase ${limit}`,
      almost: (limit, chance) => `es ${mark('muy probable')} (${chance}) que entonces pase ${limit}`,
    },
    about: (n, of) => `${n === 1 ? 'alrededor de' : 'unas'} ${f.count(n)}\u00a0de\u00a0cada\u00a0${f.count(of)}`,
    hardly: 'menos de 1\u00a0de\u00a0cada\u00a0100',
    almost: 'más de 99\u00a0de\u00a0cada\u00a0100',
    point: (date, share) => `Previsión para el ${date}: ${share}`,
    note: 'Una previsión dice adónde va si lo que le ocurre sigue como hasta ahora. Parte de todas las semanas juntas, no solo del último recuento. Su paréntesis contiene la proporción 9 veces de cada 10. No cuenta con sueltas, aplicaciones ni tiempo por venir.',
    row: (week, date) => `${week} · ${date} (previsión)`,
    rowsNote: 'La previsión parte de todas las semanas juntas, no solo del último recuento. En sus filas el intervalo contiene la proporción 9 veces de cada 10.',
  },
  cannotSay: {
    looked: (plants, weeks, aLot) =>
      `${aLot ? 'Solo en este lote, ' : ''}${f.plural(plants, 'planta revisada', 'plantas revisadas')} en ${f.plural(weeks, 'semana', 'semanas')} ${mark(plants === 1 ? 'aún no muestra' : 'aún no muestran')}`,
    whither: (looked) => `${looked} adónde va.`,
    growth: (looked) => `${looked} si crece.`,
    goBy: (cultivar, houses) => `Todo ${cultivar} en ${houses} está por encima de su límite: guíese por eso, no por esta línea.`,
  },
  legend: {
    seen: (confidence) => `proporción vista, con su intervalo (${confidence})`,
    middle: 'previsión: la cifra real puede quedar tanto por encima como por debajo de esta línea',
    half: 'rayado: ahí está 1 de cada 2 veces',
    wide: 'borde de puntos: ahí está 9 de cada 10 veces',
  },
  doneTitle: (n) => `Qué se hizo entretanto (${f.plural(n, 'día', 'días')}, por los números sobre el gráfico)`,
  done: {
    receive: (n) => (n === 1 ? 'se recibió 1 planta' : `se recibieron ${f.count(n)} plantas`),
    stick: (n) => `plantación de ${f.count(n)}`,
    root: (n) => `enraizamiento de ${f.count(n)} anotado`,
    pot: (n) => `${f.count(n)} en maceta`,
    pinch: (n) => `pinzado de ${f.count(n)}`,
    space: (n) => `espaciado de ${f.count(n)}`,
    move: (n) => `traslado de ${f.count(n)}`,
    split: (n) => `${f.count(n)} separadas`,
    merge: (n) => `${f.count(n)} reunidas`,
    discard: (n) => `${f.count(n)} descartadas`,
    dispatch: (n) => `${f.count(n)} expedidas`,
    count: (n) => `${f.count(n)} contadas`,
  },
  workedOut: 'Cómo se calculan las cifras',
  weighted: 'ponderada',
  weightedNote:
    '* Ponderada: no todos los bloques se revisaron por igual, así que cada uno cuenta según las plantas que hay en él. La proporción no es entonces solo un recuento entre el otro.',
  mixedChoice: 'Lotes mezclados',
  mixedLots: { apart: 'Grupo aparte', shared: 'Repartidos por origen' },
  mixedPlants: {
    apart: (n) => `${f.plural(n, 'planta revisada', 'plantas revisadas')} esta temporada en lotes mezclados, de varias llegadas; forman un grupo aparte.`,
    shared: (n) =>
      `${f.plural(n, 'planta revisada', 'plantas revisadas')} esta temporada en lotes mezclados. Se reparten según lo que compone cada lote, redondeando los recuentos de cada bloque y semana; no se sabe si las infestadas vinieron de ahí.`,
  },
  intervalChoice: 'Intervalos',
  intervals: { design: 'Por bloques', wilson: 'Wilson' },
  share: {
    wilson: 'Cada proporción es el número de plantas infestadas entre todas las revisadas esa semana, nunca una media de porcentajes.',
    design: 'Cada proporción es el número de plantas infestadas entre todas las revisadas esa semana, ponderado por las plantas que hay donde no todos los bloques se revisaron por igual; nunca una media de porcentajes.',
  },
  method: {
    wilson: (confidence) =>
      `Intervalos: Wilson (1927), ${confidence}, como si cada planta se hubiera sacado por separado; demasiado estrechos cuando las plantas de un bloque se parecen.`,
    design: (confidence) =>
      `Intervalos: ${confidence}, más anchos que con plantas sacadas por separado, porque las de un mismo bloque se parecen; una sola revisión lleva el de Wilson (1927).`,
  },
  correlation: {
    known: (correlation, n) =>
      `Cuánto se parecen las plantas de un bloque: ${correlation} en una escala de 0 (no más que dos plantas cualesquiera) a 1 (todas iguales), calculado con ${compared(n)} de esta temporada.`,
    standIn: (correlation, n) =>
      `Aún no se puede calcular cuánto se parecen las plantas de un bloque (${compared(n)} por ahora): se usa un valor prudente, ${correlation}, en una escala de 0 (no más que dos plantas cualesquiera) a 1 (todas iguales).`,
  },
  limitsNote:
    'Un límite dice cuándo alguien tiene que decidir. No recomienda ningún tratamiento: para cualquiera de ellos valen primero la etiqueta, las normas locales y un asesor autorizado.',
  seriesLabel: (name, organism) => `${name}: proporción de plantas con ${organism} por semana`,
  numbers: 'Los números',
  numbersOf: (name) => `Los números de ${name}`,
  openGroup: 'Abrir',
  lots: (n) => f.plural(n, 'lote', 'lotes'),
  table: {
    week: 'Semana',
    looks: 'Revisiones',
    blocks: 'Bloques',
    plants: 'Plantas revisadas',
    infested: 'Infestadas',
    percent: 'Proporción (intervalo)',
    counts: 'Equivale a',
    countsNote: (confidence) =>
      `Las plantas de un bloque se parecen, así que dicen menos que otras tantas sacadas por separado por todo el cultivo; una buena parte de todas las que hay dice más. «Equivale a» dice cuántas sacadas por separado dirían lo mismo: cuantas menos, más ancho el intervalo (${confidence}).`,
    doubt: 'En duda',
    further: 'Revisiones y bloques de cada semana',
  },
  limits: 'Límites que valen aquí',
  limitLine: (percent, from, to) => `${percent} ${dates(from, to)}`,
  limitAim: (percent, from, to) => `meta: menos del ${percent} ${dates(from, to)}`,
  limitSource: (source) => limitSources.get(source) ?? source,
  smallest: (n) => `se juzga desde ${f.plural(n, 'planta', 'plantas')}, o desde el 5 % de un cultivo pequeño`,
  held,
  pickWeek: 'Elija un punto del gráfico o una semana de la tabla para ver sus revisiones.',
  groupGone: 'Este grupo no tiene revisiones con estos filtros.',

  looksTitle: (week, from, to) => `Revisiones de ${week}, ${dates(from, to)}`,
  ...looks,
};
