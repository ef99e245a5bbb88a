export const signIn = {
  title: 'Sign in',
  lead: 'From the dock to the truck: every shipment of cuttings, lot by lot, look by look.',
  email: 'Email',
  password: 'Password',
  submit: 'Sign in',
  submitting: 'Signing in …',
  wrong: 'Email or password is not right.',
  endedTitle: 'This account has ended',
  ended: 'The last day of this account has passed. An owner can set a later one under Setup, Accounts.',
  tooMany: 'Too many tries. Wait a minute, then try again.',
  sums: 'for everybody, without signing in',
};
