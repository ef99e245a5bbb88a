import type { dockLife as en } from '../en/dock-life';
import { formatIn } from '../format';

const f = formatIn('es');
const plants = (n: number) => f.plural(n, 'planta', 'plantas');

export const dockLife: typeof en = {
  arrived: (code, cultivar, day, from) => `**${code}**, ${cultivar}, llegó el **${day}** de ${from}.`,
  split: (code, cultivar, parent, day, arrived) => `**${code}**, ${cultivar}, se separó de **${parent}** el **${day}**; sus plantas llegaron el ${arrived}.`,
  merged: (code, cultivar, parents, day) => `**${code}**, ${cultivar}, se juntó de **${parents}** el **${day}**.`,
  notBorn: (code, cultivar) => `**${code}**, ${cultivar}: la división o mezcla con la que debía empezar se anuló o no encaja.`,
  state: {
    not_born: 'sin empezar',
    expected: 'por llegar',
    received: 'recibido, sin plantar',
    stuck: 'plantado',
    rooted: 'enraizado',
    potted: 'enmacetado',
    gone: 'terminado',
  },
  onHand: (state, here, of) => `Está ${state}; quedan **${f.of(here, of)}** plantas.`,
  noneLeft: (of) => `No queda ninguna de sus ${plants(of)}.`,
  held: (day, hold, by, why) => `**Retenido** desde el ${day}${by === '' ? '' : ` por ${by}`} (${hold}${why === '' ? '' : `: ${why}`}).`,
  notHeld: 'No está retenido.',
  byVerdict: 'dictamen',
  hold: { internal: 'retención propia', supplier: 'retención del proveedor', official: 'retención oficial' },
  scope: { lot: 'este lote', shipment: 'todo el envío', crop: 'todo el cultivo', house: 'todo lo que hay en el invernadero', site: 'toda la finca' },

  composition: 'De qué se compone',
  compositionLead: 'En un lote juntado no se distinguen las plantas: las partes son las de los recuentos.',
  arrival: 'Llegada',
  fraction: 'Parte',
  percent: 'Porcentaje',
  arrivedOn: 'Llegó',
  supplier: 'Proveedor',

  title: 'Su vida',
  empty: 'Aún no hay nada anotado: cuente las plantas al abrir las cajas.',
  rooted: (of, interval) => `Enraizadas: **${of}**${interval === '' ? '' : `, ${interval}`}.`,
  sum: {
    received: (n) => `${f.count(n)} recibidas`,
    born: (n) => `${f.count(n)} al empezar`,
    gained: (n) => `${f.count(n)} halladas al contar`,
    onHand: (n) => `${f.count(n)} en existencia`,
    discarded: (n) => `${f.count(n)} descartadas`,
    dispatched: (n) => `${f.count(n)} despachadas`,
    splitOff: (n) => `${f.count(n)} separadas`,
    mergedAway: (n) => `${f.count(n)} juntadas en otros lotes`,
    lost: (n) => `${f.count(n)} perdidas al contar`,
  },

  onParent: (code) => `en ${code}`,
  parentsLeftOut: (n) => `${f.plural(n, 'lote más', 'lotes más')} por los que pasaron sus plantas: ábralos para ver qué ocurrió allí.`,
  rootedOf: (rooted, stuck) => `${f.of(rooted, stuck)} enraizadas`,
  recount: (booked, found) =>
    found === booked
      ? `como en el libro`
      : found < booked
        ? `${f.count(booked - found)} menos que las ${f.count(booked)} del libro`
        : `${f.count(found - booked)} más que las ${f.count(booked)} del libro`,
  into: (n) => `${f.count(n)} a`,
  partOf: (n) => `${f.count(n)} de`,
  customer: (name) => `a ${name}`,
  paper: (number) => `documento ${number}`,
  look: (block) => `Revisado en ${block}`,
  onPurpose: 'a propósito',
  inspected: { dock: 'Inspeccionado en el muelle', second_look: 'Segunda revisión' },
  holdBegun: (hold, scope) => `Retenido: ${hold}, ${scope}`,
  holdLifted: (hold) => `Levantada: ${hold}`,
  although: 'hecho pese a la retención',
  aside: 'no encaja',
  beside: 'No concuerda con',
  besideLink: (movement, moment) => `${movement} del ${moment}`,
  withdrawn: (n) => `Anulados (${f.count(n)})`,
  correctNumber: 'Corregir el número',
  notWhole: 'Su vida entera necesita red. Esto es lo que sabe el teléfono.',
  inTimeline: 'Lo más reciente primero',

  conflicts: {
    title: 'No encaja en el libro',
    lead: (n) => `${f.plural(n, 'movimiento se anotó', 'movimientos se anotaron')} pero no pudo ocurrir tal como está escrito. Una persona debe decir qué es lo correcto.`,
    open: 'Resolver',
    line: (movement, n, code, moment, by) => `${movement}, ${plants(n)}, ${code}, ${moment}, ${by}`,
    todo: {
      number: 'Corrija el número si se escribió mal, anule el movimiento si no ocurrió, o haga un recuento del bloque anterior a él.',
      moment: 'Corrija el día o anule uno de los dos: están en orden equivocado.',
      birth: 'Anule uno de los movimientos: un lote empieza una sola vez.',
      lot: 'Anúlelo y anótelo en el lote al que se hizo de verdad.',
    },
  },
};
