export const setup = {
  title: 'Setup',
  lead: 'Places, stock names, seasons, limits and accounts.',
};
