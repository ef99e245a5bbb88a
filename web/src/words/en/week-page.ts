export { advice } from './advice';
export { origin } from './origin';
export { trends } from './trends';
export { week } from './week';
