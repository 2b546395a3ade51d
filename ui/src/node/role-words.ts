import type { Role } from '../../../node/core/roles.ts';

/** Roles as people are told of them. */
export const roleWords: Readonly<Record<Role, { readonly name: string; readonly may: string }>> = {
  operator: { name: 'Operator', may: 'everything, blackout and other phones included' },
  helper: { name: 'Helper', may: 'the buttons of Tonight only' },
  viewer: { name: 'Viewer', may: 'look on, press nothing' },
};
