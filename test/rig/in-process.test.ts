import { law } from './bench-law.ts';
import { virtualBench } from './benches.ts';
import { describeRig } from './rig-suite.ts';

describeRig('in this process', () => virtualBench({ law }), true);
describeRig('in this process behind a slow line', () => virtualBench({ law, disturbance: { baud: 115_200 } }), true);
