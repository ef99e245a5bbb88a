export { Houses } from './houses';
export { AdviceSheet, useAdvice } from './sheet';
export { questionOf, type Question } from './question';
export { goByHouses, standingsOf } from './sentences';
