import WebSocket from 'ws';
import type { FromRemote, Invitation, State, ToRemote } from '../../node/api/contract.ts';
import type { EditRequest } from '../../node/api/edit-contract.ts';
import type { Command } from '../../node/core/commands.ts';
import type { Role } from '../../node/core/roles.ts';
import { type NodeProcess, until } from './node-process.ts';

/** A phone without a screen: paired by a code, on a real socket. */
export class RemoteClient {
  readonly socket: WebSocket;
  readonly messages: ToRemote[] = [];
  readonly levels: Buffer[] = [];
  closed: { readonly code: number; readonly reason: string } | undefined;
  #ids = 0;
  #beats: NodeJS.Timeout | undefined;

  private constructor(socket: WebSocket) {
    this.socket = socket;
    socket.on('message', (data, isBinary) => {
      if (isBinary) this.levels.push(data as Buffer);
      else this.messages.push(JSON.parse(String(data)) as ToRemote);
    });
    socket.on('close', (code, reason) => {
      this.closed = { code, reason: String(reason) };
    });
    socket.on('error', () => undefined);
  }

  /** Joins with a fresh code from the machine and opens the socket. It beats only when {@link beat} is called. */
  static async join(node: NodeProcess, role: Role = 'operator'): Promise<RemoteClient> {
    return RemoteClient.open(node, await pair(node, role));
  }

  static async open(node: NodeProcess, cookie: string): Promise<RemoteClient> {
    const { url } = node.file;
    const client = new RemoteClient(new WebSocket(`${url.replace('http', 'ws')}/ws`, { headers: { cookie, origin: url } }));
    await until('hello', () => client.last('hello') ?? (client.closed && Promise.reject(new Error('closed'))));
    return client;
  }

  send(message: FromRemote): void {
    this.socket.send(JSON.stringify(message));
  }

  /** Sends a command and waits for the node's answer. */
  command(command: Command): Promise<Extract<ToRemote, { type: 'done' | 'refused' }>> {
    const id = ++this.#ids;
    this.send({ type: 'command', id, command });
    return this.answer(id);
  }

  answer(id: number): Promise<Extract<ToRemote, { type: 'done' | 'refused' }>> {
    return until(`answer to ${id}`, () => {
      const found = this.messages.find((one) => (one.type === 'done' || one.type === 'refused') && one.id === id);
      return found?.type === 'done' || found?.type === 'refused' ? found : undefined;
    });
  }

  /** Sends an edit and waits for the node's answer. */
  edit(edit: EditRequest): Promise<Extract<ToRemote, { type: 'edited' | 'refused' }>> {
    const id = ++this.#ids;
    this.send({ type: 'edit', id, edit });
    return until(`answer to ${id}`, () => {
      const found = this.messages.find((one) => (one.type === 'edited' || one.type === 'refused') && one.id === id);
      return found?.type === 'edited' || found?.type === 'refused' ? found : undefined;
    });
  }

  /** Waits for a message of a type. */
  next<T extends ToRemote['type']>(type: T): Promise<Extract<ToRemote, { type: T }>> {
    return until(`message ${type}`, () => this.last(type));
  }

  /** Beats as a living page does, until {@link faint}. */
  beat(): void {
    this.#beats = setInterval(() => this.send({ type: 'beat', id: 0 }), 500);
  }

  faint(): void {
    clearInterval(this.#beats);
  }

  last<T extends ToRemote['type']>(type: T): Extract<ToRemote, { type: T }> | undefined {
    return this.messages.findLast((one): one is Extract<ToRemote, { type: T }> => one.type === type);
  }

  get state(): State | undefined {
    return this.last('state')?.state;
  }

  close(): void {
    this.faint();
    this.socket.terminate();
  }
}

/** Pairs by a code from the machine. @returns the cookie. */
export async function pair(node: NodeProcess, role: Role = 'operator', name = 'Test phone'): Promise<string> {
  const invitation = (await (
    await node.ask('machine/invitations', { method: 'POST', body: JSON.stringify({ role }) })
  ).json()) as Invitation;
  const body = JSON.stringify({ code: invitation.code, name });
  // A node takes so many tries a minute; files with many phones on one node wait until it takes another.
  const answer = await until('a node that lets a phone in', async () => {
    const got = await browse(node, 'api/pair', { method: 'POST', body });
    if (got.status !== 429) return got;
    await new Promise((resolve) => setTimeout(resolve, 300));
    return undefined;
  });
  return answer.headers.get('set-cookie')?.split(';')[0] ?? '';
}

/** As a browser asks, with a cookie if it has one. */
export function browse(node: NodeProcess, path: string, init: RequestInit & { cookie?: string } = {}): Promise<Response> {
  const { cookie, ...rest } = init;
  const headers = {
    'content-type': 'application/json',
    ...(cookie === undefined ? {} : { cookie }),
    ...(rest.headers as Record<string, string>),
  };
  return fetch(`${node.file.url}/${path}`, { ...rest, headers });
}
