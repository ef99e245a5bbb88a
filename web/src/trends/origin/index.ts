export { OriginReading } from './reading';
