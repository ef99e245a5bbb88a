export { common } from './common';
export { dock } from './dock';
export { problems } from './problems';
export { setup } from './setup';
export { signIn } from './sign-in';
export { sums } from './sums';
export { trends } from './trends';
export { walk } from './walk';
