import type { trailStart as en } from '../en/trail-start';
import { formatIn } from '../format';

const f = formatIn('es');

export const trailStart: typeof en = {
  lead: 'Siga las plantas desde donde se cultivaron hasta donde están ahora, o de vuelta desde un cliente hasta el envío con que llegaron.',
  search: '¿Qué quiere seguir?',
  hint: 'Un nombre, un código de lote, una fecha o el número de un documento.',
  emptyTitle: 'Empiece por lo que sabe',
  empty: {
    forward: 'Le avisan de una granja, un proveedor o un envío: sígalo hacia delante hasta cada bloque y cada cliente adonde llegaron sus plantas.',
    back: 'Llama un cliente, o tiene un albarán en la mano: sígalo hacia atrás hasta los lotes, los envíos y las granjas.',
    reach: 'Pregunta la autoridad fitosanitaria: cada rastro se abre como una sola página para imprimir, con documentos, retenciones y lo que estuvo junto a las plantas.',
  },
  kinds: { farm: 'Granjas', supplier: 'Proveedores', shipment: 'Envíos', lot: 'Lotes', block: 'Bloques', customer: 'Clientes', dispatch: 'Despachos' },
  browse: { farm: 'Todas las granjas', supplier: 'Todos los proveedores', shipment: 'Últimos envíos', customer: 'Todos los clientes' },
  farmOf: (supplier) => `cultiva para ${supplier}`,
  lotOf: (cultivar, day) => `${cultivar}, ${day}`,
  lotMade: (cultivar) => `${cultivar}, hecho aquí`,
  papers: (numbers) => `documentos ${numbers}`,
  noPapers: 'sin números de documentos',
  dispatchOf: (customer, day) => `a ${customer}, ${day}`,
  noPaper: 'sin número de documento',
  noCustomers: 'Aún no hay clientes. Vienen con el primer despacho de un lote.',
  more: (n) => `y ${f.count(n)} más: escriba algo más`,
  found: (n) => (n === 0 ? 'No se encontró nada' : f.plural(n, 'coincidencia', 'coincidencias')),
  none: (text) => `Nada se llama «${text}».`,
  noneHint: 'Pruebe con una parte del nombre, con el código del lote sin espacios, o con el día como 14 sept o 2026-09-14.',
  dispatchesLater: 'Buscando aún en los albaranes …',
  dispatchesSome: (n) => `Se buscó en los albaranes de ${n === 1 ? 'un cliente' : `los primeros ${f.count(n)} clientes`}; elija un cliente para ver todos los suyos.`,
  strikes: 'Enraizado y pérdidas',
  strikesLead: 'De qué proveedor y de qué granja enraízan los esquejes, y cuáles se pierden.',
};
