export { AdviceSheet } from './sheet';
export { questionOf, type Question } from './question';
