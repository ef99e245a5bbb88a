import { readdirSync, readFileSync } from 'node:fs';

import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';

import * as en from '../../src/words/en';
import * as es from '../../src/words/es';

/** The words as they are when the program opens, in English, with nothing fetched. */
async function justOpened() {
  vi.resetModules();
  const { dictionaries } = await import('../../src/words/dictionaries');
  const { language, pageWordsReady, speak, words, wordsReady } = await import('../../src/words');
  language.value = 'en';
  const fetched = (of: 'en' | 'es'): string[] => Object.keys(dictionaries.value[of]).toSorted();
  return { fetched, language, pageWordsReady, speak, words, wordsReady };
}

let open: Awaited<ReturnType<typeof justOpened>>;

beforeEach(async () => {
  open = await justOpened();
  await open.wordsReady();
});

const spanishWalk = '../../src/words/es/walk';
const englishDock = '../../src/words/en/dock';

afterEach(() => {
  vi.doUnmock(spanishWalk);
  vi.doUnmock(englishDock);
});

/** A file on a slow network: it arrives when let through. */
function slow(path: string): () => void {
  let arrive = (): void => undefined;
  const arrived = new Promise<void>((resolve) => (arrive = resolve));
  vi.doMock(path, async (importOriginal) => {
    await arrived;
    return importOriginal<object>();
  });
  return () => arrive();
}

function unreachable(path: string): void {
  vi.doMock(path, () => {
    throw new Error('no network');
  });
}

/** Long enough for every file that is not held back. */
const aMoment = () => new Promise((resolve) => setTimeout(resolve, 200));

const core = ['common', 'problems', 'signIn'];

describe('the words that are fetched', () => {
  it('are at first those of the frame and the sign-in, in one language', () => {
    expect(open.fetched('en')).toEqual(core);
    expect(open.fetched('es')).toEqual([]);
  });

  it('are joined by those of a page when it is opened', async () => {
    await open.pageWordsReady('walk');
    expect(open.fetched('en')).toEqual([...core, 'walk'].toSorted());
    await open.pageWordsReady('trends');
    expect(open.fetched('en')).toEqual([...core, 'advice', 'origin', 'trends', 'walk'].toSorted());
  });

  it('are all of them in both languages when all pages were opened', async () => {
    for (const page of ['dock', 'walk', 'trends', 'arrivals', 'map', 'houses', 'season', 'trail', 'setup', 'imports', 'labels', 'sheets', 'scan', 'phone', 'sums', 'week'] as const) await open.pageWordsReady(page);
    open.speak('es');
    await vi.waitFor(() => expect(open.language.value).toBe('es'));
    expect(open.fetched('en')).toEqual(Object.keys(en).toSorted());
    expect(open.fetched('es')).toEqual(Object.keys(es).toSorted());
  });
});

describe('another language', () => {
  it('is shown once every opened page has its words, and not before', async () => {
    await open.pageWordsReady('walk');
    const arrive = slow(spanishWalk);
    open.speak('es');
    await aMoment();
    expect(open.language.value).toBe('en');
    expect(open.words.value.walk.title).toBe(en.walk.title);

    arrive();
    await vi.waitFor(() => expect(open.language.value).toBe('es'));
    expect(open.words.value.walk.title).toBe(es.walk.title);
    expect(open.fetched('es')).toEqual([...core, 'walk'].toSorted());
  });

  it('is not shown when the words of one page cannot be fetched, and is when they can again', async () => {
    await open.pageWordsReady('walk');
    unreachable(spanishWalk);
    open.speak('es');
    await aMoment();
    expect(open.language.value).toBe('en');
    expect(open.words.value.walk.title).toBe(en.walk.title);

    vi.doUnmock(spanishWalk);
    open.speak('es');
    await vi.waitFor(() => expect(open.words.value.walk.title).toBe(es.walk.title));
  });

  it('waits for a page that is being opened as well', async () => {
    const arrive = slow(englishDock);
    const ready = open.pageWordsReady('dock');
    open.speak('es');
    await vi.waitFor(() => expect(open.language.value).toBe('es'));
    expect(open.words.value.dock.title).toBe(es.dock.title);
    arrive();
    await ready;
    expect(open.words.value.dock.title).toBe(es.dock.title);
  });
});

describe('a page', () => {
  it('is ready only in the language shown by then', async () => {
    open.speak('es');
    await vi.waitFor(() => expect(open.language.value).toBe('es'));
    open.language.value = 'en';
    const arrive = slow(englishDock);
    const ready = open.pageWordsReady('dock');
    open.language.value = 'es';
    arrive();
    await ready;
    expect(open.words.value.dock.title).toBe(es.dock.title);
  });

  it('that has no words does not hold up the others', async () => {
    unreachable(englishDock);
    await expect(open.pageWordsReady('dock')).rejects.toThrow();
    await open.pageWordsReady('walk');
    expect(open.words.value.walk.title).toBe(en.walk.title);

    vi.doUnmock(englishDock);
    await open.pageWordsReady('dock');
    expect(open.words.value.dock.title).toBe(en.dock.title);
  });

  it('is called the same in the navigation and over the page', () => {
    for (const { common, ...pages } of [en, es]) {
      const { dock, walk, week, trends, houses, trail, setup, sums } = pages;
      expect(common.pages).toEqual({ dock: dock.title, walk: walk.title, week: week.title, trends: trends.title, houses: houses.title, trail: trail.title, setup: setup.title, sums: sums.title });
    }
  });
});

const source = new URL('../../src/', import.meta.url);

/** The words a file takes, as `words.value.dock` or `const { dock } = words.value`. */
function wordsTaken(file: string): string[] {
  const text = readFileSync(new URL(file, source), 'utf8');
  const direct = [...text.matchAll(/\bwords(?:\.value)?\.(\w+)/g)].map((match) => match[1] ?? '');
  const named = [...text.matchAll(/\{([^{}]*)\}(?: = (?:\w+\.)?words(?:\.value)?;|: Words\b)/g)]
    .flatMap((match) => (match[1] ?? '').split(','))
    .map((name) => name.split(':')[0]?.trim() ?? '');
  return [...direct, ...named].filter((name) => Object.hasOwn(en, name));
}

describe('a file of the pages', () => {
  const pagesOf: Record<string, string[]> = {
    dock: ['dock'],
    walk: ['walk'],
    trends: ['trends', 'advice', 'origin', 'arrivals', 'map'],
    marks: ['trends'], // only Trends draws the marks that have words
    trail: ['trail'],
    setup: ['setup', 'imports'],
    labels: ['labels'],
    sheets: ['sheets'],
    scan: ['scan'],
    phone: ['phone'],
    sums: ['sums'],
    houses: ['houses'],
    season: ['season', 'origin'],
    week: ['week', 'advice', 'trends'],
  };
  const files = readdirSync(source, { recursive: true, encoding: 'utf8' }).filter((file) => /\.tsx?$/.test(file) && !file.startsWith('words/'));
  const taken = files.map((file) => ({ file, names: wordsTaken(file) })).filter(({ names }) => names.length > 0);

  it('takes words in a way this check sees', () => {
    expect(new Set(taken.flatMap(({ names }) => names))).toEqual(new Set(Object.keys(en)));
  });

  it('takes no words but the core and those of its own page', () => {
    for (const { file, names } of taken) {
      const allowed = [...core, ...(pagesOf[file.split('/')[0] ?? ''] ?? [])];
      expect(names.filter((name) => !allowed.includes(name)), file).toEqual([]);
    }
  });
});
