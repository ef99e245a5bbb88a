export { common } from './common';
export { problems } from './problems';
export { signIn } from './sign-in';
