import type { dockLab as en } from '../en/dock-lab';
import { formatIn } from '../format';

const f = formatIn('es');

export const dockLab: typeof en = {
  title: 'Muestras de laboratorio',
  none: 'Ninguna muestra de este lote ha ido a un laboratorio.',
  sent: (n) => `**${f.plural(n, 'muestra enviada', 'muestras enviadas')}** a un laboratorio`,
  tally: {
    found: (n) => `**encontrado** en ${f.count(n)}`,
    not_found: (n) => `**no encontrado** en ${f.count(n)}`,
    waiting: (n) => `**a la espera** de ${f.count(n)}`,
  },
  cautionTitle: 'Solo un laboratorio confirma',
  caution:
    'Lo que se ve a simple vista es una sospecha. Si sospecha una plaga regulada: pare, retenga el lote donde está, no mueva, venda ni descarte plantas y llame a la autoridad fitosanitaria. Ella dice qué está regulado y qué sigue.',

  taken: (moment) => `Tomada el ${moment}`,
  fromPlants: (n) => ` de ${f.plural(n, 'planta', 'plantas')}`,
  inBlock: (block) => ` en ${block}`,
  ofParent: ' del lote del que procede',
  waiting: '**a la espera** del resultado',
  waitingFor: (what) => `**a la espera** del resultado sobre ${what}`,
  found: '**encontrado** lo que se buscaba',
  foundIt: (what) => `**encontrado**: ${what}`,
  notFound: '**no encontrado** en esta muestra lo que se buscaba',
  notFoundIt: (what) => `**no encontrado** en esta muestra: ${what}`,
  answered: (day) => ` (resultado del ${day})`,
  sample: (number) => `muestra ${number}`,
  report: (number) => `informe ${number}`,

  add: 'Anotar una muestra',
  correct: (moment) => `Corregir la muestra tomada el ${moment}`,
  addResult: 'Anotar el resultado',
  resultOf: (moment) => `Anotar el resultado de la muestra tomada el ${moment}`,
  takenAt: 'Tomada',
  block: 'Del bloque',
  blockHint: 'Donde estaba el lote entonces.',
  noBlock: 'varios, o no se sabe',
  plants: 'Plantas de las que se tomó',
  sampleNumber: 'Número de muestra',
  sampleNumberHint: 'Como está en la bolsa y en el formulario.',
  laboratory: 'Laboratorio',
  lookedFor: 'Se busca',
  lookedForHint: 'La plaga o enfermedad por la que se preguntó al laboratorio.',
  result: 'Resultado',
  results: { waiting: 'A la espera', found: 'Encontrado', not_found: 'No encontrado' },
  resultHint: 'Lo que dice el informe, nada más. No encontrado vale para esta muestra, no para el resto del lote.',
  resultOn: 'Día del resultado',
  reportNumber: 'Número de informe',
  note: 'Nota',
  saved: 'Muestra anotada.',
  corrected: 'Muestra corregida.',
};
