import type { labels as en } from '../en/labels';
import { formatIn } from '../format';

const f = formatIn('es');
const labelCount = (n: number): string => f.plural(n, 'etiqueta', 'etiquetas');
const sheetCount = (n: number): string => f.plural(n, 'hoja', 'hojas');

export const labels: typeof en = {
  title: 'Etiquetas',
  titleLots: (supplier, day) => `Etiquetas: ${supplier}, ${day}`,
  titleLot: (code, cultivar) => `Etiqueta: ${code} ${cultivar}`,
  titlePlace: (place) => `Etiquetas: bloques de ${place}`,
  back: { shipment: 'Al envío', lot: 'Al lote', places: 'Lugares', setup: 'Ajustes', labels: 'Etiquetas' },

  lead: 'Una etiqueta dice en letra grande qué lote o qué bloque es. Su código, leído con la cámara de un teléfono, abre aquí la página de ese lote o bloque.',
  chooseTitle: 'Elija primero para qué son las etiquetas',
  choose: 'Los lotes reciben la suya en la recepción, antes de que se mezclen las cajas; los bloques, una sola vez, en el poste o en la mesa. Elija abajo un envío o un invernadero; después verá la hoja tal como se imprimirá.',
  forLots: 'Para lotes',
  forLotsLead: 'Los últimos envíos de esta finca.',
  shipment: (supplier, day, lots) => `${supplier}, ${day} · ${lots}`,
  noShipments: 'Ningún envío tiene lotes todavía. Anote uno en la recepción, con sus lotes; después podrá imprimir aquí sus etiquetas.',
  toDock: 'A la recepción',
  forBlocks: 'Para bloques',
  forBlocksLead: 'Los invernaderos de esta finca.',
  house: (name, blocks) => `${name} · ${blocks}`,
  everyHouse: (blocks) => `Todos los invernaderos · ${blocks}`,
  noBlocks: 'Aún no hay bloques. Prepare un invernadero con sus bloques; después podrá imprimir aquí sus etiquetas.',
  toPlaces: 'Preparar los lugares',

  emptyLotsTitle: 'Aún no hay lotes que etiquetar',
  emptyLots: 'Una etiqueta es para un lote: un cultivar de este envío. Añada los lotes al envío, o péguelos de la lista del proveedor; después vuelva aquí.',
  emptyBlocksTitle: 'Aún no hay bloques que etiquetar',
  emptyBlocks: 'Una etiqueta es para un bloque: el área más pequeña que se revisa por separado. Añada bloques al invernadero, uno por uno o una fila entera; después vuelva aquí.',

  onlyHereTitle: 'Los teléfonos no pueden abrir estos códigos',
  onlyHere: (origin) => `Llevarían ${origin}, que solo se conoce en esta máquina. Abra Benchtrail en la dirección que usan los teléfonos e imprima desde allí.`,

  which: 'Qué etiquetas',
  whichLots: 'Lotes',
  whichBlocks: 'Bloques',
  chosen: (some, all) => (some === 1 ? `${f.of(some, all)} elegido` : `${f.of(some, all)} elegidos`),
  all: 'Todos',
  none: 'Ninguno',
  copies: 'De cada uno',
  copiesHint: (most) => `De 1 a ${f.count(most)}; las copias van una junto a otra.`,
  layout: 'Hoja',
  layoutName: (paper, columns, rows) => `${paper === 'Letter' ? 'Carta' : paper}, ${f.count(columns)} × ${f.count(rows)}`,
  layoutHint: (width, height) => `${f.number(width)} × ${f.number(height)} mm`,
  start: 'Primera etiqueta libre',
  startHint: (last) => `1 en una hoja entera, hasta ${f.count(last)}; se cuenta por filas desde arriba a la izquierda.`,
  preview: 'La hoja',
  sum: (labels, sheets) => `${labelCount(labels)} en ${sheetCount(sheets)}`,
  nothing: 'No hay nada elegido. Marque al menos uno arriba.',
  tooMany: (sheets, most) => `Serían ${sheetCount(sheets)}; de una vez se hacen ${f.count(most)} como máximo. Elija menos etiquetas o menos de cada uno.`,
  print: 'Imprimir',
  printHint: 'En la ventana de impresión elija este papel y tamaño real (100 %), sin márgenes ni encabezados. Pruebe antes con una hoja de papel normal y compárela con las etiquetas.',
  sheet: (n, all) => `Hoja ${f.of(n, all)}`,
  before: 'Anterior',
  next: 'Siguiente',
  code: (address) => `Código que abre ${address}`,

  arrived: (date) => `Llegó el ${date}`,
  expected: (date) => `Se espera el ${date}`,
  supplierLot: (code) => `Lote del proveedor ${code}`,

  scanned: 'Etiqueta escaneada',
  notFoundTitle: (code) => `Aquí no hay ningún lote ${code}`,
  notFound: 'En las fincas que usted puede ver no consta ningún lote con este código y este número de artículo. Puede que el código se corrigiera después de imprimir la etiqueta, o que la etiqueta sea de otro lugar.',
  badGtinTitle: 'El número de esta etiqueta no se leyó bien',
  badGtin: 'Su dígito de control no cuadra. Escanéela otra vez, o busque el lote por su código.',
  several: 'Varios lotes tienen este código. ¿Cuál es?',
  lotOf: (code, cultivar, date) => `${code} ${cultivar}, llegó el ${date}`,
};
