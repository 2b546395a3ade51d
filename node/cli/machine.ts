import { resolve } from 'node:path';
import { Argument, type Command, Option } from 'commander';
import { renderUnicodeCompact } from 'uqr';
import type { Invitation, RemoteRow } from '../api/contract.ts';
import type { Forgotten } from '../api/local-contract.ts';
import { BEAT_EVERY } from '../core/remote.ts';
import { roles } from '../core/roles.ts';
import { listed } from '../core/words.ts';
import { NodeClient } from './client.ts';

type DataOption = readonly [flags: string, description: string, standard: string];

/** Commands for whoever has the machine itself: pairing, revoking, and standing in for a remote. */
export function addMachineCommands(duskhand: Command, data: DataOption, print: (...lines: readonly string[]) => void): void {
  duskhand
    .command('pair')
    .description('show a code and a QR by which one phone may join within five minutes')
    .addOption(new Option('--role <role>', 'what the phone may do').choices(roles).default('operator'))
    .option(...data)
    .action(async (options: { data: string; role: string }) => {
      const node = new NodeClient(resolve(options.data));
      const { code, url } = (await node.post('machine/invitations', { role: options.role })) as Invitation;
      print(...renderUnicodeCompact(url).split('\n'), url, `Code: ${code}, for one phone as ${options.role}, for five minutes`);
    });

  duskhand
    .command('remotes')
    .description('list the paired phones')
    .option(...data)
    .action(async (options: { data: string }) => {
      const remotes = (await new NodeClient(resolve(options.data)).get('machine/remotes')) as RemoteRow[];
      const lines = remotes.map(({ id, name, role, connected }) => `${id}  ${name}  ${role}${connected ? '  connected' : ''}`);
      print(...(lines.length === 0 ? ['No phone is paired; "duskhand pair" shows a code'] : lines));
    });

  duskhand
    .command('forget')
    .description('revoke a paired phone by its number, or all of them')
    .addArgument(new Argument('<id>', 'number from "duskhand remotes", or all'))
    .option(...data)
    .action(async (id: string, options: { data: string }) => {
      const node = new NodeClient(resolve(options.data));
      const { names } = (await node.delete(`machine/remotes/${encodeURIComponent(id)}`)) as Forgotten;
      print(
        names.length === 0
          ? 'No phone was paired'
          : `Forgotten: ${listed(names)}. To come back ${names.length === 1 ? 'it' : 'they'} must be paired again`,
      );
    });

  duskhand
    .command('attend')
    .description('stand in for a remote until stopped (Ctrl+C): what plays attended goes on without a phone')
    .option(...data)
    .action(async (options: { data: string }) => {
      const node = new NodeClient(resolve(options.data));
      await node.post('machine/beat', {});
      print('Standing in for a remote. Ctrl+C ends it; then the watch over attended looks counts from that moment.');
      for (;;) {
        await new Promise((resolve) => setTimeout(resolve, BEAT_EVERY));
        await node.post('machine/beat', {});
      }
    });
}
