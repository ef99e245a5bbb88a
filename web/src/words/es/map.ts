import { mark } from '../../trends/mark';
import type { map as en } from '../en/map';
import { formatIn } from '../format';

const f = formatIn('es');
const blocks = (n: number): string => f.plural(n, 'bloque', 'bloques');

/** "del 7 al 13 sept", "del 31 ago al 6 sept" */
function dates(from: string, to: string): string {
  return `del ${from.slice(0, 7) === to.slice(0, 7) ? String(Number(from.slice(8))) : f.date(from)} al ${f.date(to)}`;
}

export const map: typeof en = {
  title: 'Mapa de un invernadero',
  places: { front: 'delante', middle: 'en medio', back: 'al fondo', 'left side': 'lado izquierdo', 'right side': 'lado derecho' },
  spot: 'foco',
  spotAt: (where) => `foco, ${where}`,
  onPurpose: (spot, of) => `${spot}, revisado a propósito: ${of}`,
  state: { empty: 'sin plantas', not_looked_at: 'sin revisar', none_found: 'no se encontró', found: 'se encontró' },
  answer: {
    blocks: (looked, all) => `${f.of(looked, all)} bloques`,
    some: (house, week, of, seen, organism, share) => `${house}, ${week}: ${mark(`${of} plantas`)} en ${seen} tienen ${organism}, ${mark(share)}.`,
    none: (house, week, plants, seen, organism, confidence, upper) =>
      `${house}, ${week}: no se vio ${organism} en ${mark(`${plants} plantas`)} de ${seen}; con un ${confidence} de confianza la tienen menos del ${mark(upper)}.`,
    over: (n, names) => `${mark(`${blocks(n)} ${n === 1 ? 'está' : 'están'} por encima del límite`)} incluso por sí ${n === 1 ? 'solo' : 'solos'}: ${names}.`,
    beside: (n, names, over) => `${mark(`${f.count(n)} más ${n === 1 ? 'está' : 'están'} al lado`)} de ${over === 1 ? 'él' : 'ellos'}: ${names}.`,
    noneIn: (n) => `En ${blocks(n)} ${n === 1 ? 'revisado' : 'revisados'} no se encontró.`,
    unseen: (n) => `${mark(`${blocks(n)} con plantas no se ${n === 1 ? 'revisó' : 'revisaron'}`)}.`,
    spots: (names) => `Focos: ${names}.`,
    nobody: (house, week, n) => `${house}, ${week}: ${mark('nadie ha revisado')} aún, y hay plantas en ${blocks(n)}.`,
    nothing: (house, week) => `${house}, ${week}: nadie revisó, y no consta que haya plantas.`,
  },
  weekLabel: 'Semana',
  week: (week, from, to) => `${week} · ${dates(from, to)}`,
  mapTitle: 'Los bloques en el orden del recorrido',
  mapLead: 'Los bloques que se siguen son vecinos. Un bloque se abre hasta sus revisiones; las flechas llevan de uno al siguiente.',
  noSection: 'Sin sección',
  over: (limit) => `más del ${limit}`,
  beside: (names) => `junto a ${names}`,
  legend: {
    share: (top) => `cuanto más oscuro, más infestado: de nada al ${top} o más`,
    known: 'cuanto más larga la parte sin rayar, mejor se conoce la proporción',
    outline: 'borde continuo: revisado; discontinuo: hay plantas, pero nadie revisó; tenue: sin plantas',
  },
  blockTitle: (block, week) => `${block}, ${week}`,
  standing: (n) => `${f.plural(n, 'planta está', 'plantas están')} ahí al final de la semana.`,
  inTrends: (block) => `${block} semana a semana`,
  close: 'Cerrar',
  tableTitle: (week) => `Los bloques de la ${week} en una tabla`,
  standingHead: 'Plantas ahí',
  limitHead: 'Por sí solo',
  besideHead: 'Junto a uno por encima del límite',
  spotsHead: 'Focos',
  houseTitle: (house) => `${house} semana a semana`,
  pickWeek: 'Elija una semana aquí o en el control deslizante para ver su mapa.',
  limitNote:
    'El límite se juzga para un cultivar en un invernadero, donde se revisan bastantes plantas. Un bloque que lo supera por sí solo dice adónde ir primero; uno que no lo supera dice poco, porque se revisaron pocas plantas.',
  orderNote: 'El mapa se dibuja según el orden del recorrido de los bloques, no según su lugar en el invernadero.',
  emptyTitle: 'Aún no hay nada que dibujar',
  empty: 'Cuando haya plantas en los bloques de este invernadero, o alguien haya revisado, aparecerán aquí semana a semana.',
  noHouses: 'Aquí no hay ningún invernadero',
  noHousesText: 'Un propietario prepara los invernaderos y bloques en Ajustes.',
  houseGone: 'Este invernadero no es de los suyos',
  houseGoneText: 'Elija otro arriba.',
};
