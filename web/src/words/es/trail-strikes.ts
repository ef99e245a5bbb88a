import { mark } from '../../trends/mark';
import type { trailStrikes as en } from '../en/trail-strikes';
import { formatIn } from '../format';

const f = formatIn('es');

export const trailStrikes: typeof en = {
  title: 'Enraizado y pérdidas',
  lead: 'Enraizado: de los esquejes cuyas raíces se contaron, cuántos tenían raíces. Pérdidas: de las plantas recibidas, cuántas se descartaron (también al llegar) o faltaron en un recuento, menos las halladas. Las plantas de un lote corren la misma suerte, así que los intervalos van por lotes.',
  byLabel: 'Por',
  by: { supplier: 'Proveedor', farm: 'Granja', cultivar: 'Cultivar', shipment: 'Envío' },
  unknown: 'Granja no conocida',
  mixed: 'Lotes mezclados',
  emptyTitle: 'Aún no hay nada que leer',
  empty: 'Cuando se reciban lotes, aquí se verá lo que se perdió de ellos. El enraizado viene cuando se cuentan las raíces: anote «enraizado» en el lote, con cuántos de los esquejes puestos tienen raíces.',
  most: (name, share, least) => `La mayor pérdida segura es la de ${mark(name)}: ${mark(share)}, o sea, al menos ${mark(least)}.`,
  surely: (n, others) =>
    n === 0
      ? 'El orden aún puede ser azar: lo que otros pueden haber perdido llega igual de alto.'
      : n === others
        ? 'Es más de lo que puede haber perdido cualquiera de los demás.'
        : `Es más de lo que pueden haber perdido ${f.count(n)} de los otros ${f.count(others)}.`,
  noLoss: 'Aún no se ha perdido nada.',
  only: (name, share) => `Pérdida de ${mark(name)}: ${mark(share)}.`,
  rooted: (share) => `De todos los esquejes cuyas raíces se contaron, enraizaron ${mark(share)}.`,
  noRoots: 'Aún no se han contado raíces.',
  caption: 'Enraizado y pérdidas, primero la mayor pérdida segura',
  lots: 'Lotes',
  strike: 'Enraizados',
  loss: 'Perdidas',
  share: (of, interval) => `${of} · ${interval}`,
  notCounted: 'sin contar',
  few: 'pocas plantas',
  scale: (head, top) => `${head}, línea de 0 a ${top}`,
  order: 'En el orden del límite inferior de las pérdidas, para que unas pocas plantas nunca encabecen la lista por azar.',
  thin: (n) => `Las marcas finas se apoyan en menos de ${f.count(n)} plantas.`,
  method: 'Los intervalos son los de Wilson, al 95 %, como si las plantas se perdieran una a una. Los esquejes de una misma caja comparten su suerte, así que la verdad es menos segura de lo que parecen los intervalos; una diferencia es motivo para preguntar, no una sentencia.',
};
