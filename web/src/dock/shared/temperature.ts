/** Boxes of cuttings travel at 10–16 °C (common practice in the trade, 50–60 °F); colder than this is told apart. */
export const coolest = 10;

/** Warmer than this is told apart. */
export const warmest = 16;
