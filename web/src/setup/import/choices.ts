import type { ImportBody, ImportKind, ImportReading } from '../../contract.gen';
import type { Chosen } from './file';

/** The kinds of columns, in the order of the list to choose from. */
export const kinds = [
  'looked_on',
  'looked_at',
  'house',
  'block',
  'lot_code',
  'cultivar',
  'arrived_on',
  'supplier',
  'organism',
  'plants_looked_at',
  'infested_plants',
  'infested_percent',
  'observer',
  'purpose',
  'crop_stage',
  'hot_spot',
  'seconds',
  'signs_looked_for',
  'note',
  'look',
] as const satisfies readonly ImportKind[];

/** What may hold for every line, where the file has no column for it. */
export const forAll = ['organism', 'house', 'block', 'supplier', 'cultivar', 'arrived_on'] as const satisfies readonly ImportKind[];

/** What can be made where there is none. */
export const makeable = ['house', 'block', 'supplier', 'cultivar', 'lot_code'] as const;

export type Makeable = (typeof makeable)[number];

/** What a person says of how a file is to be read. What is not said is found out. */
export type Choices = Pick<ImportBody, 'encoding' | 'separator' | 'decimal' | 'dates' | 'columns' | 'crop_id' | 'again'> & {
  always: Partial<Record<ImportKind, string>>;
  make: readonly Makeable[];
  /** By kind and text. */
  sameAs: Readonly<Record<string, { kind: ImportKind; text: string; id: string }>>;
};

export const nothingSaid: Choices = { always: {}, make: [], sameAs: {} };

/** The body that has the file read, or stored. */
export function bodyOf(site: string, file: Chosen, choices: Choices): ImportBody {
  const { always, make, sameAs, ...rest } = choices;
  return {
    ...rest,
    site_id: site,
    file_name: file.name,
    content: file.content,
    always: Object.entries(always)
      .filter(([, text]) => text !== '')
      .flatMap(([word, text]) => {
        const kind = kindOf(word);
        return kind === '' ? [] : [{ kind, text }];
      }),
    make: [...make],
    same_as: Object.values(sameAs),
  };
}

/** The columns with another kind at one place; a kind stands at one place only. */
export function placed(columns: readonly (ImportKind | '')[], at: number, kind: ImportKind | ''): (ImportKind | '')[] {
  return columns.map((before, i) => {
    if (i === at) return kind;
    return before === kind ? '' : before;
  });
}

/** What the columns hold: as a person said it, which a reading may not know yet, else as it was guessed. */
export function columnsOf(reading: ImportReading, choices: Choices): (ImportKind | '')[] {
  const said = choices.columns ?? reading.columns;
  return reading.headings.map((_, at) => kindOf(said[at] ?? ''));
}

/** A kind by its word; empty for none. */
export function kindOf(word: string): ImportKind | '' {
  return kinds.find((kind) => kind === word) ?? '';
}

/** What the file lacks a column for and every look needs, or may be said for all lines. */
export function lacking(columns: readonly string[]): (typeof forAll)[number][] {
  return forAll.filter((kind) => !columns.includes(kind));
}
