export { seededNormal, seededRandom } from '../scripts/simulate/random.ts';
