// The house rules of DEVELOPERS.md ("who may import whom"), enforced by `npm run check`.
const pureRooms = 'law|fader|verdict|trim|sampling|spread|trust';
const room = (name) => `^src/${name}/`;

/** A rule: files under `from` may import nothing of the project outside themselves except `allowed`. */
const only = (name, from, allowed, comment) => ({
  name,
  comment,
  severity: 'error',
  from: { path: from },
  to: { path: '^(src|firmware-protocol|renderer)/', pathNot: [from, ...allowed] },
});

module.exports = {
  forbidden: [
    { name: 'no-circular', severity: 'error', from: {}, to: { circular: true } },
    { name: 'no-unresolvable', severity: 'error', from: {}, to: { couldNotResolve: true } },
    {
      name: 'no-dev-dependency-in-product',
      severity: 'error',
      // The window and the shell are bundled, so what they use is needed for building only.
      from: { path: '^(src|firmware-protocol)/', pathNot: '^src/shell/' },
      to: { dependencyTypes: ['npm-dev'], dependencyTypesNot: ['type-only'] },
    },
    {
      name: 'pure-rooms-do-no-io',
      comment: 'Pure rooms run in the window too: no Node module, no native module.',
      severity: 'error',
      from: { path: room(`(${pureRooms})`) },
      to: { dependencyTypes: ['core'] },
    },
    {
      name: 'product-does-not-import-tests',
      severity: 'error',
      from: { path: '^(src|firmware-protocol|renderer)/' },
      to: { path: '^test/' },
    },
    only('law-knows-nobody', room('law'), [], 'law is the ground floor'),
    only('fader-knows-nobody', room('fader'), [], 'fader is the ground floor'),
    only(
      'verdict-knows-law-fader-trust',
      room('verdict'),
      [room('law'), room('fader'), room('trust')],
      'decision 0002',
    ),
    only(
      'trust-knows-law-fader',
      room('trust'),
      [room('law'), room('fader')],
      'trust feeds verdict, never the reverse',
    ),
    only(
      'trim-knows-law-fader-trust',
      room('trim'),
      [room('law'), room('fader'), room('trust')],
      'decision 0006; an accepted piece is a verdict, and the station asks for it',
    ),
    only('codec-knows-nobody', '^firmware-protocol/codec/', [], 'a firmware author reads this folder alone'),
    only(
      'virtual-rig-knows-codec-and-fader',
      '^firmware-protocol/virtual-rig/',
      ['^firmware-protocol/codec/', room('fader')],
      'the truth must not share code with what measures it',
    ),
    only(
      'rig-knows-codec-and-port',
      room('rig'),
      ['^firmware-protocol/codec/', '^src/procedure/rig-port\\.ts$'],
      'rig implements RigPort',
    ),
    only(
      'procedure-knows-pure-rooms',
      room('procedure'),
      [room(`(${pureRooms})`)],
      'procedure sees a RigPort, never a serial port',
    ),
    only('archive-knows-records-only', room('archive'), [], 'archive stores plain records'),
    only(
      'report-knows-pure-rooms-and-records',
      room('report'),
      [room(`(${pureRooms})`), '^src/archive/records\\.ts$'],
      'report turns records into paper',
    ),
    only(
      'contract-knows-pure-rooms',
      room('contract'),
      [room(`(${pureRooms})`), '^src/archive/records\\.ts$'],
      'the contract crosses every process boundary',
    ),
    only(
      'cli-knows-contract',
      room('cli'),
      [room('contract'), room('core'), room('station'), room('report'), room('law'), room('fader')],
      'the command line speaks the contract',
    ),
    only(
      'shell-knows-contract',
      room('shell'),
      [room('contract'), '^src/core/(launch|places)\\.ts$'],
      'the shell owns no measurement state',
    ),
    only(
      'renderer-knows-contract-and-pure-rooms',
      '^renderer/',
      [room('contract'), room(`(${pureRooms})`), '^src/archive/records\\.ts$', '^src/report/words\\.ts$'],
      'the window shows what the core tells; the verdict words and shapes are one source for paper and screen',
    ),
    only(
      'station-knows-the-rooms',
      room('station'),
      [room(`(${pureRooms}|rig|procedure|archive|report)`)],
      'the only place where the rooms meet',
    ),
    {
      name: 'electron-only-in-shell',
      severity: 'error',
      from: { path: '^(src|renderer)/', pathNot: room('shell') },
      to: { path: 'node_modules/electron/' },
    },
    {
      name: 'simulator-only-behind-one-door',
      comment: 'Nothing that measures may reach the truth; only the core may start a virtual rig.',
      severity: 'error',
      from: { path: '^(src|renderer)/', pathNot: '^src/core/(virtual|served)-rig\\.ts$' },
      to: { path: '^firmware-protocol/virtual-rig/' },
    },
    {
      name: 'serial-port-only-in-rig',
      severity: 'error',
      from: { path: '^(src|renderer)/', pathNot: room('rig') },
      to: { path: 'node_modules/(serialport|@serialport)/' },
    },
    {
      name: 'database-only-in-archive',
      severity: 'error',
      from: { path: '^(src|renderer)/', pathNot: room('archive') },
      to: { path: 'node_modules/better-sqlite3/' },
    },
  ],
  options: {
    doNotFollow: { path: 'node_modules' },
    parser: 'swc',
    enhancedResolveOptions: {
      exportsFields: ['exports'],
      conditionNames: ['import', 'node', 'default'],
      extensions: ['.ts', '.tsx', '.js', '.cjs', '.mjs', '.json'],
    },
  },
};
