/**
 * What the system means by its codes (errno of POSIX.1-2017 and Linux), in plain words, and what a person does about it where that is the
 * same everywhere.
 */
const meanings: Readonly<Record<string, readonly [what: string, todo?: string]>> = {
  EACCES: ['the system does not permit this', 'ask for the right to it, or choose another'],
  EADDRINUSE: ['another program holds the port', 'stop that one, or choose another port'],
  EADDRNOTAVAIL: ['this machine has no such address', 'look which addresses it has'],
  ECONNREFUSED: ['the other side is there but does not listen on that port'],
  ECONNRESET: ['the other side has cut the connection'],
  EEXIST: ['there is one of that name already', 'choose another name'],
  EHOSTDOWN: ['the receiver does not answer'],
  EHOSTUNREACH: ['there is no way to the receiver'],
  EIO: ['the disk fails', 'change the card after the event'],
  EISDIR: ['it is a folder', 'name a file in it'],
  EMFILE: ['too many files and sockets are open', 'try again in a while'],
  EMSGSIZE: ['the packet is larger than the network takes'],
  ENAMETOOLONG: ['the name is too long', 'choose a shorter one'],
  ENETDOWN: ['the network interface is down'],
  ENETUNREACH: ['there is no way to that network'],
  ENOBUFS: ['the network interface takes no more packets for now'],
  ENODEV: ['the network interface is gone'],
  ENOENT: ['there is no such file', 'look how it is called, and in which folder it is'],
  ENOSPC: ['the disk is full', 'make room on it'],
  ENOTDIR: ['part of that path is a file and no folder', 'look how it is called'],
  ENOTFOUND: ['no machine of that name is known', 'look how it is called, or give its address'],
  EPERM: ['the system or its firewall refuses this'],
  EROFS: ['the disk takes nothing more (it is read-only)', 'look at the card or its rights'],
};

/** `there is no way to that network (ENETUNREACH)` */
export const meaningOf = (code: string): string =>
  `${(Object.hasOwn(meanings, code) ? meanings[code]?.[0] : undefined) ?? 'the system reports an error'} (${code})`;

/** What an error of the system means and what to do; any other by its own message. */
export function systemWords(error: unknown): string {
  const { code } = (error ?? {}) as { code?: unknown };
  const known = typeof code === 'string' && Object.hasOwn(meanings, code) ? meanings[code] : undefined;
  if (known === undefined) return error instanceof Error ? error.message : String(error);
  const [what, todo] = known;
  return `${what}${todo === undefined ? '' : `; ${todo}`} (${String(code)})`;
}
