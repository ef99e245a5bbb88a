import { mark } from '../../trends/mark';
import type { arrivals as en } from '../en/arrivals';
import { formatIn } from '../format';

const f = formatIn('es');

/** "4 semanas después de llegar" */
function age(weeks: number): string {
  if (weeks === 0) return 'en la semana de llegada';
  return weeks < 0 ? `${f.plural(-weeks, 'semana', 'semanas')} antes de llegar` : `${f.plural(weeks, 'semana', 'semanas')} después de llegar`;
}

const start = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

export const arrivals: typeof en = {
  title: 'Llegadas por edad',
  age,
  counts: (of, share) => `${of} plantas, ${share}`,
  range: (when, n, [high, highCounts], [low, lowCounts]) =>
    `${start(when)}, de ${f.plural(n, 'semana de llegada revisada', 'semanas de llegada revisadas')} a esa edad, la más alta con seguridad es la ${mark(high)}, con ${mark(highCounts)}, y la más baja la ${mark(low)}, con ${mark(lowCounts)}.`,
  differ: (higher, lower) => {
    if (lower === '') return `${mark(`${higher}: distinta`)} de las demás, más infestada a la misma edad.`;
    if (higher === '') return `${mark(`${lower}: distinta`)} de las demás, menos infestada a la misma edad.`;
    return `${mark('Son distintas')} a la misma edad: más infestadas que las demás juntas ${mark(higher)}; menos, ${mark(lower)}.`;
  },
  someDiffer: `El azar por sí solo difícilmente las haría tan distintas, pero ${mark('ninguna destaca')} por sí misma.`,
  alike: `${mark('No se pueden distinguir')}: el azar por sí solo podría hacerlas así de distintas.`,
  single: (when, name, counts) => `${start(when)} solo se revisó la ${mark(name)}: ${mark(counts)}. A esa edad no hay con qué compararla.`,
  noneFound: (when, n, plants, upper) =>
    `${start(when)} no se encontró en ninguna de ${f.plural(n, 'semana de llegada', 'semanas de llegada')}, en ${mark(`${plants} plantas`)} revisadas; donde se revisaron menos, aún podría tenerla hasta el ${mark(upper)}.`,
  noneAt: (when) => `${start(when)} no se revisó nada.`,
  nothing: 'Aún no se ha revisado ningún lote de llegada conocida.',

  mapTitle: 'Cada semana de llegada, según fue creciendo',
  mapLead:
    'Una fila es lo que llegó en una semana; una columna, cuántas semanas hace de eso. Lea una columna de arriba abajo para comparar llegadas a la misma edad, y elija su cabecera para compararlas ahí. Una celda se abre hasta sus lotes y revisiones.',
  inDoubt: 'en duda',
  arrived: 'Llegó',
  weeksSince: 'semanas desde la llegada',
  lots: (n) => f.plural(n, 'lote', 'lotes'),
  mixedRow: (week) => `Mezclados, ${week}`,
  mixedNote: 'Los lotes mezclados tienen plantas de varias llegadas. Van aparte, según la edad de la primera, y no se comparan.',
  notLookedAt: 'sin revisar',
  toCome: 'aún por venir',
  cell: (week, mixed, weeks, then) => `${mixed ? 'Lotes mezclados, primera llegada en la' : 'Llegó en la'} ${week}, ${age(weeks)} (${then})`,
  compareAt: (weeks) => `Comparar ${age(weeks)}`,
  legend: {
    share: (top) => `cuanto más oscuro, más infestado: de nada al ${top} o más`,
    known: 'cuanto más larga la parte sin rayar, mejor se conoce la proporción; casi toda rayada: apenas se sabe nada',
    none: 'no se encontró, que no es que no haya',
    notLookedAt: '– nadie revisó; un hueco vacío está aún por venir',
  },
  figures: 'En una celda: infestadas de revisadas, y la proporción con su intervalo.',

  compareTitle: (weeks) => `Comparadas ${age(weeks)}`,
  compareLead: (top) =>
    `Primero las proporciones altas más seguras, para que 1 de 5 no vaya antes que 15 de 80. Una sola escala, de 0 al ${top}. Las llegadas también pueden diferir por cultivar, proveedor e invernadero: acote para comparar lo semejante.`,
  differs: { higher: 'más infestada', lower: 'menos infestada', no: 'no se distingue' },
  discovery: (percent) => `«Más» y «menos» tienen en cuenta cuántas se compararon; de todas las que se llaman así, el ${percent} puede serlo por azar.`,

  lotsTitle: 'Sus lotes',
  lot: 'Lote',
  noLots: 'Ninguno de estos lotes se revisó esa semana.',
  close: 'Cerrar',
  inTrends: 'Semana a semana, lote por lote',
  unknownPlants: (n) => `${f.plural(n, 'planta revisada', 'plantas revisadas')} esta temporada ${n === 1 ? 'estaba' : 'estaban'} en lotes que no se conocen; no tienen edad y no están aquí.`,
  emptyTitle: 'Aún no se ha revisado ninguna llegada',
  empty: 'Cada recorrido añade aquí una columna: lo que llegó en una semana, tantas semanas después.',
};
