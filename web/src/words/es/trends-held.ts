import { mark } from '../../trends/mark';
import type { held as en } from '../en/trends-held';
import { formatIn } from '../format';

const f = formatIn('es');

export const held: typeof en = {
  title: 'Comparación',
  cannotSay: (weeks) => `Aún no se pueden comparar los grupos: en ${weeks} se revisaron muy pocas plantas.`,
  weeks: (from, to) => (from === to ? from : `${from} a ${to}`),
  summary: (weeks, groups, higher, lower, compared) => {
    const start = `${weeks}, ${groups}: `;
    const taking = `teniendo en cuenta que se ${compared === 1 ? 'comparó' : 'compararon'} ${f.plural(compared, 'grupo', 'grupos')}`;
    if (higher + lower === 0) return `${start}${mark('las plantas de ningún grupo se apartan')} de las del resto, ${taking}.`;
    const parts = [
      ...(higher > 0 ? [mark(`las plantas de ${f.count(higher)} están más infestadas`)] : []),
      ...(lower > 0 ? [mark(higher > 0 ? `las de ${f.count(lower)} menos` : `las plantas de ${f.count(lower)} están menos infestadas`)] : []),
    ];
    return `${start}${f.list(parts)} que las del resto, ${taking}.`;
  },
  more: (names) => `Plantas más infestadas: ${names}.`,
  less: (names) => `Plantas menos infestadas: ${names}.`,
  andMore: (n) => `${f.count(n)} más`,
  chance: 'El azar por sí solo podría hacer que los grupos difieran tanto.',
  notChance: 'El azar por sí solo difícilmente haría que los grupos difieran tanto.',
  discovery: (n) => (n < 1 ? 'Es poco probable que alguno de estos esté aquí solo por azar.' : n === 1 ? 'Cerca de 1 de estos puede estar aquí solo por azar.' : `Unos ${f.count(n)} de estos pueden estar aquí solo por azar.`),
  yetBelow: (limit) => `más que el resto, pero por debajo del ${limit}`,
  withUnknown: (groups, n) => `${groups} y ${n === 1 ? 'uno' : f.count(n)} sin nombre conocido`,
  differs: { higher: 'plantas más infestadas', lower: 'plantas menos infestadas', no: 'no se distingue' },
  short: { higher: 'más infestadas', lower: 'menos infestadas', no: 'no se distingue' },
  ranking: (n) => `La clasificación de ${f.plural(n, 'grupo', 'grupos')}`,
  rankingNote: (top) =>
    `Con las semanas de arriba, no solo la última como en las tarjetas. Primero las proporciones altas más seguras, para que 1 de 5 no vaya antes que 15 de 80. Una escala, de 0 a ${top}.`,
  marks: {
    share: 'proporción con su intervalo',
    shrunken: 'proporción corregida por tener pocas plantas (no cambia el orden)',
    overall: (counts, percent) => `todos juntos: ${counts} · ${percent}`,
  },
  towards: (percent) => `corregida por tener pocas plantas: ${percent}`,
  others: 'Frente al resto',
  showAll: (n) => `Mostrar todo (${f.count(n)})`,
  showFewer: (n) => `Mostrar solo ${f.count(n)}`,
  funnel: '¿Es solo que hay pocas plantas? Proporción según las plantas revisadas',
  funnelNote:
    'Con pocas plantas la proporción varía mucho por azar; con muchas se acerca a la de todos. Entre las líneas curvas quedan casi todos los grupos que solo difieren por azar; los que quedan fuera llevan su nombre donde cabe; la tabla los tiene todos.',
  funnelLabel: (groups) => `Proporción de plantas infestadas según las plantas revisadas, ${groups}`,
  funnelText: (outside) => (outside === '' ? 'Ningún grupo queda fuera de las líneas.' : `Fuera de las líneas: ${outside}.`),
  plantsAxis: 'plantas revisadas',
  inside: 'dentro de las líneas',
  outside: 'fuera de las líneas',
  group: 'Grupo',
  expected: 'Solo por azar',
  where: 'Frente a las líneas',
  place: { over: 'por encima', under: 'por debajo', inside: 'entre ellas' },
  shrunken: 'Corregida',
  adjusted: 'p ajustada',
  rank: 'Puesto',
  ranked: (rank) => `puesto ${f.count(rank)}`,
  numbers: 'Los números de la comparación',
  foliage: {
    light_only: (light, dark) =>
      `${mark('Solo en cultivares de follaje claro')}: ${light}, frente a ${dark} en los de follaje oscuro; eso apunta a que aún no está extendida.`,
    dark_too: (light, dark) =>
      `${mark('También en cultivares de follaje oscuro')}: ${dark} frente a ${light} en los de follaje claro; eso apunta a que está extendida.`,
    dark_more: (light, dark) =>
      `${mark('Más en cultivares de follaje oscuro que en los de follaje claro')}: ${dark} frente a ${light}; eso apunta a que está extendida.`,
    none_found: (light, dark) =>
      `No se encontró ni en cultivares de follaje claro ni en los de follaje oscuro: ${light} y ${dark}. Eso descarta poco si se revisaron pocas plantas.`,
    cannot_say: (light, dark) =>
      `${mark('Aún no se pueden comparar el follaje claro y el oscuro')}: se revisaron ${light} plantas de follaje claro y ${dark} de follaje oscuro.`,
  },
  difference: (points, lower, upper) => `Oscuro menos claro: ${points} puntos porcentuales (de ${lower} a ${upper}).`,
};
