/** The import table of DEVELOPERS.md: which folder of node/ may import which. `core` is open to all, a folder to itself. */
const table = {
  core: [],
  fixtures: [],
  show: ['fixtures'],
  plan: ['show', 'fixtures'],
  playback: ['show', 'fixtures', 'plan'],
  guards: ['show', 'fixtures', 'plan'],
  dmx: ['show', 'fixtures', 'plan'],
  outputs: [],
  monitor: ['outputs'],
  system: [],
  engine: ['show', 'fixtures', 'playback', 'guards', 'dmx'],
  store: ['show', 'fixtures', 'playback'],
  api: ['show', 'fixtures', 'playback', 'guards', 'dmx', 'plan', 'engine', 'store'],
  cli: [],
};

export const pure = ['core', 'show', 'fixtures', 'playback', 'guards', 'dmx', 'plan'];

/** @type {import('dependency-cruiser').IConfiguration} */
export default {
  forbidden: [
    ...Object.entries(table).map(([folder, may]) => ({
      name: `imports-of-${folder}`,
      severity: 'error',
      from: {
        path: `^node/${folder}/`,
        ...(folder === 'engine' || folder === 'monitor' ? { pathNot: `^node/${folder}/thread\\.ts$` } : {}),
      },
      to: {
        path: '^node/',
        pathNot: [
          `^node/(${['core', folder, ...may].join('|')})/`,
          ...(folder === 'cli' || folder === 'monitor' ? ['^node/api/contract\\.ts$'] : []),
        ],
      },
    })),
    {
      name: 'imports-of-ui',
      severity: 'error',
      from: { path: '^ui/src/' },
      to: { path: '^node/', pathNot: '^node/(core|show|plan)/|^node/api/contract\\.ts$' },
    },
    {
      name: 'pure-is-pure',
      comment: 'no clock, timers, random, console, files or sockets in the pure folders',
      severity: 'error',
      from: { path: `^node/(${pure.join('|')})/` },
      to: { dependencyTypes: ['core'] },
    },
    { name: 'no-cycles', severity: 'error', from: {}, to: { circular: true } },
    { name: 'no-development-packages', severity: 'error', from: { path: '^node/' }, to: { dependencyTypes: ['npm-dev'] } },
    { name: 'resolvable', severity: 'error', from: {}, to: { couldNotResolve: true } },
  ],
  options: {
    doNotFollow: { path: 'node_modules' },
    tsPreCompilationDeps: true,
    enhancedResolveOptions: {
      exportsFields: ['exports'],
      conditionNames: ['import', 'node', 'default'],
      extensions: ['.ts', '.js'],
    },
  },
};
