import { formatIn } from '../format';

const f = formatIn('en');
const labelCount = (n: number): string => f.plural(n, 'label', 'labels');
const sheetCount = (n: number): string => f.plural(n, 'sheet', 'sheets');

export const labels = {
  title: 'Labels',
  titleLots: (supplier: string, day: string) => `Labels: ${supplier}, ${day}`,
  titleLot: (code: string, cultivar: string) => `Label: ${code} ${cultivar}`,
  titlePlace: (place: string) => `Labels: blocks of ${place}`,
  back: { shipment: 'To the shipment', lot: 'To the lot', places: 'Places', setup: 'Setup', labels: 'Labels' },

  lead: 'A label says in large letters which lot or block it is. Its code, read with the camera of a phone, opens the page of that lot or block here.',
  chooseTitle: 'First choose what the labels are for',
  choose: 'Lots get theirs at the dock, before boxes are mixed; blocks get theirs once, at the post or the bench. Choose a shipment or a house below; next you see the sheet as it will be printed.',
  forLots: 'For lots',
  forLotsLead: 'The last shipments of this site.',
  shipment: (supplier: string, day: string, lots: string) => `${supplier}, ${day} · ${lots}`,
  noShipments: 'No shipment has lots yet. Write one down at the dock, with its lots; then their labels can be printed here.',
  toDock: 'To the dock',
  forBlocks: 'For blocks',
  forBlocksLead: 'The houses of this site.',
  house: (name: string, blocks: string) => `${name} · ${blocks}`,
  everyHouse: (blocks: string) => `All houses · ${blocks}`,
  noBlocks: 'No blocks yet. Set up a house with its blocks; then their labels can be printed here.',
  toPlaces: 'Set up places',

  emptyLotsTitle: 'No lots to label yet',
  emptyLots: 'A label stands for a lot: one cultivar of this shipment. Add the lots to the shipment, or paste them from the supplier’s list; then come back.',
  emptyBlocksTitle: 'No blocks to label yet',
  emptyBlocks: 'A label stands for a block: the smallest area that is scouted on its own. Add blocks to the house, one by one or a whole row; then come back.',

  onlyHereTitle: 'Phones cannot open these codes',
  onlyHere: (origin: string) => `They would hold ${origin}, which is known on this machine only. Open Benchtrail at the address that phones use, and print from there.`,

  which: 'Which labels',
  whichLots: 'Lots',
  whichBlocks: 'Blocks',
  chosen: (some: number, all: number) => `${f.of(some, all)} chosen`,
  all: 'All',
  none: 'None',
  copies: 'Of each',
  copiesHint: (most: number) => `1 to ${f.count(most)}; copies come beside each other.`,
  layout: 'Sheet',
  layoutName: (paper: string, columns: number, rows: number) => `${paper === 'Letter' ? 'US Letter' : paper}, ${f.count(columns)} × ${f.count(rows)}`,
  layoutHint: (width: number, height: number) => `${f.number(width)} × ${f.number(height)} mm`,
  start: 'First free label',
  startHint: (last: number) => `1 on a whole sheet, up to ${f.count(last)}; counted along the rows from the top left.`,
  preview: 'The sheet',
  sum: (labels: number, sheets: number) => `${labelCount(labels)} on ${sheetCount(sheets)}`,
  nothing: 'Nothing is chosen. Tick at least one above.',
  tooMany: (sheets: number, most: number) => `That would be ${sheetCount(sheets)}; at most ${f.count(most)} are made at once. Choose fewer labels or fewer of each.`,
  print: 'Print',
  printHint: 'In the print window choose this paper and actual size (100 %), no margins, no headers. Try one sheet of plain paper first and hold it against the labels.',
  sheet: (n: number, all: number) => `Sheet ${f.of(n, all)}`,
  before: 'Previous',
  next: 'Next',
  code: (address: string) => `Code that opens ${address}`,

  arrived: (date: string) => `Arrived ${date}`,
  expected: (date: string) => `Expected ${date}`,
  supplierLot: (code: string) => `Supplier lot ${code}`,

  scanned: 'Scanned label',
  notFoundTitle: (code: string) => `No lot ${code} here`,
  notFound: 'No lot with this code and this trade item number is recorded at the sites you may see. The code may have been corrected since the label was printed, or the label is from elsewhere.',
  badGtinTitle: 'The number on this label was not read right',
  badGtin: 'Its check digit does not fit. Scan it once more, or look the lot up by its code.',
  several: 'Several lots have this code. Which one?',
  lotOf: (code: string, cultivar: string, date: string) => `${code} ${cultivar}, arrived ${date}`,
};
