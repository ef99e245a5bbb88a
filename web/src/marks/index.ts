export { PercentAxis, WeekAxis } from './axis';
export { labelled, percentTop, runs, weekPosition } from './geometry';
export { LimitLine, limitLabel } from './limit';
export { pointText, Series } from './series';
export { useWidth } from './use-width';
