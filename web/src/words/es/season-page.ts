export { origin } from './origin';
export { season } from './season';
