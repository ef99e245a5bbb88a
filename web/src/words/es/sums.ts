import { mark } from '../../trends/mark';
import type { sums as en } from '../en/sums';
import { formatIn } from '../format';

const f = formatIn('es');
const plants = (n: number): string => f.plural(n, 'planta', 'plantas');

export const sums: typeof en = {
  title: 'Cálculos',
  lead: 'Los cálculos que hay detrás de las páginas, para comprobarlos o probar un caso propio. No usan datos guardados ni guardan nada. La dirección lleva el último cálculo hecho, para poder compartirlo.',
  contents: 'Los cálculos de esta página',
  work: 'Calcular',
  method: 'Método',
  source: 'Fuente',
  name: {
    'sample-size': 'Tamaño de la muestra',
    proportion: 'Proporción',
    difference: 'Diferencia de dos proporciones',
    'stop-lines': 'Líneas de parada',
    'degree-days': 'Grados-día',
  },
  leads: {
    'sample-size': 'Cuántas plantas de un lote mirar, tomadas al azar, para encontrar una infestación.',
    proportion: 'Qué dicen las plantas revisadas sobre todas las plantas.',
    difference: 'Si dos grupos difieren más de lo que explica el azar.',
    'stop-lines': 'Al mirar planta por planta: cuándo se puede parar y decir por debajo o por encima.',
    'degree-days': 'El calor de un día para el desarrollo. Los umbrales son de cada organismo: tómelos de su fuente.',
  },
  fields: {
    'sample-size': {
      lot_size: 'Plantas del lote',
      detection_percent: 'Proporción infestada por encontrar',
      confidence_percent: 'Confianza',
      sensitivity_percent: 'Plantas infestadas que se reconocen al mirarlas',
    },
    proportion: { examined: 'Plantas revisadas', infested: 'Plantas infestadas', confidence_percent: 'Confianza', method: 'Método' },
    difference: {
      examined_a: 'Plantas revisadas, primer grupo',
      infested_a: 'Plantas infestadas, primer grupo',
      examined_b: 'Plantas revisadas, segundo grupo',
      infested_b: 'Plantas infestadas, segundo grupo',
      confidence_percent: 'Confianza',
    },
    'stop-lines': {
      acceptable_percent: 'Proporción aceptable',
      action_percent: 'Proporción a partir de la cual actuar',
      alpha: 'Alfa',
      beta: 'Beta',
      maximum: 'Máximo de plantas que mirar',
    },
    'degree-days': {
      minimum: 'Temperatura mínima del día',
      maximum: 'Temperatura máxima del día',
      lower: 'Umbral inferior',
      upper: 'Umbral superior',
      method: 'Método',
      unit: 'Unidad',
    },
  },
  hints: {
    'sample-size': { sensitivity_percent: 'Si queda vacío: 100 %.' },
    proportion: { confidence_percent: 'Si queda vacío: 95 %.' },
    difference: { confidence_percent: 'Si queda vacío: 95 %.' },
    'stop-lines': {
      alpha: 'Probabilidad de decir por encima con la proporción aceptable, por ejemplo 0,1',
      beta: 'Probabilidad de decir por debajo con la proporción de actuar, por ejemplo 0,1',
    },
    'degree-days': { upper: 'Si queda vacío: ninguno.' },
  },
  choices: {
    wilson: 'Wilson',
    'clopper-pearson': 'Clopper–Pearson',
    jeffreys: 'Jeffreys',
    'single-sine': 'Seno simple',
    average: 'Promedio',
    C: '°C',
    F: '°F',
  },
  say: {
    lookAt: (some, level, confidence) =>
      `Mire ${mark(some)} plantas: si el ${level} está infestado, encuentra al menos una con una confianza del ${confidence}.`,
    lookAtAll: (lot, level, confidence) =>
      `Mire ${mark(`las ${lot}`)} plantas: si el ${level} está infestado, encuentra al menos una con una confianza del ${confidence}.`,
    recognising: (sensitivity) => `Se supone que se reconoce el ${sensitivity} de las plantas infestadas que haya entre ellas.`,
    noInfested: (level, lot) => `El ${level} de ${lot} plantas es menos de una planta: ningún número de plantas lo encontrará.`,
    overlooked: (lot, confidence, sensitivity) =>
      `Ni siquiera las ${lot} plantas dan una confianza del ${confidence}: si se reconoce el ${sensitivity} de las infestadas, se pasan por alto demasiadas.`,
    noSample: (reason) => `Ningún número de plantas basta: ${reason}.`,
    share: (counts, interval) => `${mark(counts)} es el ${mark(interval)}.`,
    none: (counts, confidence, limit) => `${mark(counts)}: con una confianza del ${confidence}, ${mark(`menos del ${limit}`)} está infestado.`,
    difference: (a, b, points, lower, upper, confidence) =>
      `${a} frente a ${b}: ${mark(`${points} puntos porcentuales`)} y, con una confianza del ${confidence}, de ${lower} a ${upper}.`,
    perhapsNone: 'El cero queda dentro: estos recuentos no distinguen un grupo del otro.',
    hardlyChance: 'El cero queda fuera: el azar por sí solo apenas lo explica.',
    oneByOne: 'Mire planta por planta.',
    above: (n, least) => `Se puede decir por encima, como muy pronto, tras ${mark(plants(n))}, con ${least} o más infestadas.`,
    below: (n, most) =>
      `Se puede decir por debajo, como muy pronto, tras ${mark(plants(n))}, con ${most === 0 ? 'ninguna infestada' : `a lo sumo ${f.plural(most, 'infestada', 'infestadas')}`}.`,
    decided: (n) => `Tras ${plants(n)} se decide de todos modos.`,
    wrong: (acceptable, above, action, below) =>
      `Así, un ${acceptable} real se da por encima en el ${above} de los casos, y un ${action} real por debajo en el ${below}.`,
    degreeDays: (low, high, days, unit, lower) => `Un día de ${low} a ${high} da ${mark(`${days} grados-día`)} (${unit}) por encima de ${lower}.`,
    cutOff: (upper) => `Lo que pasa de ${upper} cuenta como ${upper}.`,
  },
  infestedUnits: (level) => `Plantas infestadas con el ${level}, redondeadas hacia abajo`,
  interval: (confidence) => `Intervalo, confianza del ${confidence}`,
  lines: {
    caption: 'Dónde cambian las líneas',
    all: (n) => `Los ${n} cambios`,
    plants: 'Plantas revisadas',
    below: 'Por debajo si hay a lo sumo',
    above: 'Por encima si hay al menos',
    notYet: 'aún no',
  },
  operating: {
    caption: 'Lo que hacen las líneas, calculado con exactitud',
    percent: 'Proporción real',
    below: 'Dice por debajo',
    above: 'Dice por encima',
    plants: 'Plantas de media',
  },
  chart: {
    label: (maximum) => `Las dos líneas de parada de 0 a ${maximum} plantas revisadas`,
    x: 'plantas revisadas',
    y: 'infestadas',
    above: 'por encima',
    goOn: 'seguir',
    below: 'por debajo',
  },
};
