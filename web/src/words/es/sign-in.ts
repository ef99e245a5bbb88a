import type { signIn as en } from '../en/sign-in';

export const signIn: typeof en = {
  title: 'Iniciar sesión',
  lead: 'De la recepción al camión: cada envío de esquejes, lote a lote, revisión a revisión.',
  email: 'Correo electrónico',
  password: 'Contraseña',
  submit: 'Iniciar sesión',
  submitting: 'Iniciando sesión …',
  wrong: 'El correo o la contraseña no son correctos.',
  endedTitle: 'Esta cuenta ha terminado',
  ended: 'El último día de esta cuenta ya pasó. Un titular puede fijar otro posterior en Ajustes, Cuentas.',
  tooMany: 'Demasiados intentos. Espere un minuto e inténtelo de nuevo.',
  sums: 'para todos, sin iniciar sesión',
};
