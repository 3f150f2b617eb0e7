import { everyPlace } from './everyPlace';
import { desk } from './open';

everyPlace('desk', desk);
