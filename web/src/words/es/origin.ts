import { mark } from '../../trends/mark';
import type { origin as en } from '../en/origin';
import { formatIn } from '../format';

const f = formatIn('es');
const arrivals = (n: number): string => f.plural(n, 'llegada', 'llegadas');
const houses = (n: number): string => f.plural(n, 'invernadero', 'invernaderos');

export const origin: typeof en = {
  title: 'De dónde vino',
  lead: '¿Llegó con las plantas o la cogieron aquí? Lo uno no quita lo otro.',
  leadLot: 'La respuesta se lee de todos los lotes de su cultivar, porque un lote solo no tiene con qué compararse. Los datos son los de este lote.',

  answer: {
    arrival: (organism, strength, { houses: n }) =>
      `${mark(`${organism}: sigue a las llegadas`)}. Las plantas de unas llegadas la tienen más que las de otras${n > 1 ? ', estén en el invernadero que estén' : ''}${strength}.`,
    house: (organism, strength, { arrivals: n }) =>
      `${mark(`${organism}: sigue a los invernaderos`)}. Las plantas de unos invernaderos la tienen más que las de otros${n > 1 ? ', vinieran con la llegada que vinieran' : ''}${strength}.`,
    both: (organism, strength) =>
      `${mark(`${organism}: sigue a las llegadas y a los invernaderos`)}. Unas llegadas la tienen más, y unos invernaderos también${strength}.`,
    neither: (_organism, _strength, n) =>
      `${mark('Los recuentos no pueden decidir')}: las diferencias ${n.arrivals < 2 ? 'entre invernaderos' : n.houses < 2 ? 'entre llegadas' : 'entre llegadas y entre invernaderos'} son tan pequeñas que pueden ser casualidad.`,
    cannot_be_told_apart: () => mark('Los recuentos no pueden decidir'),
    cannot_say: () => mark('Aún no se puede decir nada'),
  },
  strength: { weak: ' (débil: puede ser azar o un foco)', clear: ' (claro)', strong: ' (muy claro)' },
  because: {
    no_looks: () => ': nadie ha revisado todavía estas plantas en un bloque.',
    none_infested: (some) => `: se encontró en ${some} plantas. Eso no significa que no esté.`,
    all_infested: (some) => `: se encontró en ${some} plantas, así que no hay diferencia que leer.`,
    one_arrival_and_house: () => ': solo hay una llegada, en un invernadero, y nada con qué compararla.',
    confounded: () => ': hay pocas llegadas juntas en los mismos invernaderos. Viniera con las plantas o del invernadero, las cifras serían las mismas.',
    too_few: (some) => `: la tenían ${some} plantas. Son muy pocas plantas con ella, o muy pocas llegadas que estuvieron en varios invernaderos, para distinguir un patrón del azar.`,
  },
  readFrom: (plants, infested, nArrivals, nHouses, weeks) =>
    `Leído de ${plants}, ${infested} de ellas infestadas, de ${arrivals(nArrivals)} en ${houses(nHouses)}, durante ${f.plural(weeks, 'semana', 'semanas')}.`,
  follows: {
    arrival: 'Para qué sirve: tome una muestra mayor de las próximas llegadas del mismo origen y cuente al proveedor lo que encontró.',
    house: 'Para qué sirve: mire lo que hay al lado, las malas hierbas, las puertas y las plantas viejas, antes de culpar al proveedor.',
    both: 'Para qué sirve: una muestra mayor de las próximas llegadas del mismo origen, y una mirada a lo que hay junto a estas plantas.',
    neither: 'Los datos de abajo quizá muestren dónde empezó.',
    cannot_be_told_apart: 'Los datos de abajo quizá muestren dónde empezó: lo hallado en la recepción, en hojas viejas o brotes nuevos, y al lado.',
    cannot_say: 'Los datos de abajo valen por sí mismos.',
  },
  noHint: 'Los datos de abajo no apuntan ni a una llegada ni a un invernadero.',

  hint: (to) => `Un indicio de la propia historia del lote: ${to} (no es prueba).`,
  facts: 'Los datos, lote por lote',
  factsOne: 'Los datos de este lote',
  factsCaption: (organism) => `Lo que se sabe de ${organism} en cada lote`,
  noFactsTitle: 'Aún no hay lote del que hablar',
  noFacts: 'Aún no hay ningún lote detrás. Los lotes llegan con un envío a la recepción.',
  lot: 'Lote',
  cultivar: 'Cultivar',
  arrived: 'Llegó',
  dock: 'En la recepción',
  second: 'Segunda revisión',
  first: 'Hallada por primera vez en un bloque',
  growth: 'Plantas infestadas en',
  neighbours: 'Otras llegadas al lado, dos semanas antes',
  points: 'Indicio (no es prueba)',
  found: (of) => `hallada en ${of}`,
  noneFound: (plants) => `en ninguna de ${plants}`,
  notLooked: 'no se revisó',
  firstFoundAfter: (week, weeks) => `${week}, ${f.plural(weeks, 'semana', 'semanas')} después de la primera revisión`,
  firstFoundAtOnce: (week) => `${week}, en la primera revisión`,
  notFoundSince: (week) => `no hallada; se revisa desde ${week}`,
  noBlockLook: 'aún no se revisó en ningún bloque',
  oldGrowth: (n) => `hojas viejas ${f.count(n)}`,
  newGrowth: (n) => `brotes nuevos ${f.count(n)}`,
  growthNotNoted: 'no se anotó',
  pointsTo: { arrival: 'la llegada', house: 'el invernadero', nothing: 'ninguno' },
  howToRead:
    'Un lote apunta a la llegada cuando se halló en la recepción o en la segunda revisión, o antes de dos semanas de llegar, sobre todo en hojas viejas y más que en sus vecinos. Apunta al invernadero cuando al menos 20 plantas de la recepción y la segunda revisión no la tenían y antes la tenían los vecinos. Es práctica común, no una prueba.',
  more: (n) => `Ver ${f.plural(n, 'lote', 'lotes')} más`,

  how: 'Cómo se calculó',
  howText:
    'Cada revisión cuenta plantas con ella y sin ella. La tabla dice cuánto de las diferencias entre revisiones explican la llegada con la que vinieron las plantas y el invernadero en el que están: cada cosa mirada primero, y cada una después de la otra. Lo que aún explica algo después de la otra no es solo su sombra. Las semanas se descuentan antes.',
  dispersion: (factor) => `Las plantas que están juntas se parecen: el azar se tomó ${factor} veces mayor que con plantas sacadas una a una.`,
  termsCaption: 'Lo que explican la llegada y el invernadero',
  term: { arrival: 'Llegada', house: 'Invernadero' },
  termHead: 'Qué se mira',
  levels: 'Cuántos',
  firstTerm: 'Mirado primero',
  lastTerm: 'Después de lo otro',
  explained: (deviance, df, chance) => `${deviance} con ${df}; el azar solo: cerca de ${chance}`,
  df: (n) => f.plural(n, 'grado de libertad', 'grados de libertad'),
  nothingLeft: 'no queda nada que explicar',
  p: (p) => `p ${p}`,
  method: 'Análisis de la devianza de las plantas infestadas dentro de cada semana, en los dos órdenes (McCullagh y Nelder 1989); p de la F de Fisher con la dispersión entre llegadas por invernadero.',
};
