import type { setup as en } from '../en/setup';

export const setup: typeof en = {
  title: 'Ajustes',
  lead: 'Lugares, nombres, temporadas, límites y cuentas.',
};
