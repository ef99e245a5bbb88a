import { fetchWords, opened, type PageName } from '../../src/words/dictionaries';

const pages: PageName[] = ['dock', 'walk', 'trends', 'arrivals', 'map', 'houses', 'season', 'trail', 'setup', 'labels', 'imports', 'sheets', 'scan', 'phone', 'sums', 'week'];
for (const page of pages) opened.add(page);

await Promise.all([fetchWords('en'), fetchWords('es')]);
