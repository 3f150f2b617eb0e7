import { everyPlace } from './everyPlace';
import { phone } from './open';

everyPlace('phone', phone);
