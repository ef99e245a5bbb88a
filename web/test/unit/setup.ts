import { fetchWords } from '../../src/words/dictionaries';

await Promise.all([fetchWords('en'), fetchWords('es')]);
