import type { Command } from './commands.ts';

/**
 * What a paired remote may do. An operator everything; a helper the buttons only; a viewer looks on.
 * What only the engine says (`never`) nobody may send.
 */
export const roles = ['operator', 'helper', 'viewer'] as const;
export type Role = (typeof roles)[number];

/** Roles that may send each command. The build fails here when a command has no row. */
const senders: Readonly<Record<Command['do'], readonly Role[]>> = {
  press: ['operator', 'helper'],
  release: ['operator', 'helper'],
  try: ['operator'],
  moment: ['operator', 'helper'],
  late: ['operator'],
  order: ['operator'],
  'new-night': [],
  'all-off': ['operator'],
  'lights-up': ['operator', 'helper'],
  leave: ['operator', 'helper'],
  'allow-haze': ['operator'],
  'arm-lasers': ['operator'],
  'close-lasers': ['operator', 'helper'],
  'raise-flashes': ['operator'],
  'lower-flashes': ['operator', 'helper'],
  crew: ['operator'],
  blackout: ['operator'],
  master: ['operator'],
  tempo: ['operator'],
  undo: ['operator', 'helper'],
  resume: ['operator'],
  'fall-back': [],
  'let-go': [],
};

export const maySend = (role: Role, command: Command): boolean => senders[command.do].includes(role);

/** Remotes that count as somebody being there. */
export const keepsWatch = (role: Role): boolean => role !== 'viewer';
