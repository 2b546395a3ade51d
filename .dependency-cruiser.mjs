/** The import table of DEVELOPERS.md: which folder of node/ may import which. `core` is open to all, a folder to itself. */
const table = {
  core: [],
  light: [],
  rig: ['light'],
  show: ['light', 'rig'],
  plan: ['light', 'show', 'rig'],
  playback: ['light', 'show', 'rig', 'plan'],
  guards: ['light', 'show', 'rig', 'plan'],
  dmx: ['light', 'show', 'rig', 'plan'],
  pipeline: ['light', 'show', 'rig', 'plan', 'playback', 'guards', 'dmx'],
  outputs: [],
  monitor: ['outputs'],
  system: [],
  engine: ['light', 'show', 'rig', 'plan', 'playback', 'guards', 'dmx', 'pipeline'],
  settings: ['light', 'rig'],
  store: ['show', 'rig', 'settings', 'playback'],
  api: ['light', 'show', 'rig', 'settings', 'playback', 'guards', 'dmx', 'plan', 'pipeline', 'engine', 'store'],
  cli: [],
};

export const pure = ['core', 'light', 'rig', 'show', 'playback', 'guards', 'dmx', 'plan', 'pipeline'];

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
          ...(folder === 'cli' || folder === 'monitor' ? ['^node/api/(local-)?contract\\.ts$'] : []),
        ],
      },
    })),
    {
      name: 'imports-of-ui',
      severity: 'error',
      from: { path: '^ui/src/' },
      to: { path: '^node/', pathNot: `^node/(${pure.join('|')})/|^node/api/((edit|shelf)-)?contract\\.ts$` },
    },
    {
      name: 'pure-is-pure',
      comment: 'no clock, timers, random, console, files or sockets in the pure folders',
      severity: 'error',
      from: { path: `^node/(${pure.join('|')})/` },
      to: { dependencyTypes: ['core'] },
    },
    { name: 'no-cycles', severity: 'error', from: {}, to: { circular: true } },
    { name: 'no-development-packages', severity: 'error', from: { path: '^node/.*\\.ts$' }, to: { dependencyTypes: ['npm-dev'] } },
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
