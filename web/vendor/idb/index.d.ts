export * from './entry.js';
import './build/database-extras.js';
import './build/async-iterators.js';
