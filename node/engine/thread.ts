import { type MessagePort, parentPort, receiveMessageOnPort } from 'node:worker_threads';
import { Bell } from '../core/bell.ts';
import { Heartbeat } from '../core/heartbeat.ts';
import type { OutputSettings } from '../core/output-settings.ts';
import type { Output, OutputHost } from '../core/ports.ts';
import { ArtnetOutput } from '../outputs/artnet/output.ts';
import { componentId } from '../outputs/sacn/component-id.ts';
import { SacnOutput } from '../outputs/sacn/output.ts';
import { Night } from '../plan/night.ts';
import { systemClock } from '../system/clock.ts';
import { LinkWatch, linksKey } from '../system/links.ts';
import { KernelNeighbourhood } from '../system/neighbours.ts';
import { goFirst, threadId } from '../system/priority.ts';
import { openUdp } from '../system/udp.ts';
import { Loop } from './loop.ts';
import type { EngineBeginning, FromEngine, ToEngine } from './messages.ts';

// The first time zone that is asked for takes a frame or two, those after it none: asked for here, while the thread waits for what is to play.
new Night(0, 'UTC').instantOf('12:00');

/**
 * The worker: it owns the clock, the stack, the guards and the sockets, and goes on whatever the main thread does. It is made before
 * anything else, so that it loads while the main thread reads what is to play, and begins when it is told what that is.
 */
parentPort?.once('message', ({ settings, port }: EngineBeginning) => {
  parentPort?.close();
  begin(settings, port);
});

function begin(settings: EngineBeginning['settings'], port: MessagePort): void {
  const post = (message: FromEngine): void => port.postMessage(message);
  const log = (line: string): void => post({ kind: 'log', line });
  const host: OutputHost = { openUdp, neighbourhood: new KernelNeighbourhood(), random: Math.random, log };
  const links = new LinkWatch(log);

  const buildOutput = (of: OutputSettings): Output => {
    switch (of.protocol) {
      case 'sacn':
        return new SacnOutput({ settings: of, cid: componentId(settings.cid, of.id), sourceName: settings.nodeName, host });
      case 'artnet':
        return new ArtnetOutput({ settings: of, nodeName: settings.nodeName, firmwareVersion: settings.firmwareVersion, host });
    }
  };

  const loop = new Loop(
    {
      clock: systemClock,
      bell: new Bell(settings.bell),
      heartbeat: new Heartbeat(settings.heartbeat),
      links: () => links.look(),
      linksKey,
      buildOutput,
      take: () => receiveMessageOnPort(port)?.message as ToEngine | undefined,
      post,
    },
    settings,
  );
  goFirst();
  post({ kind: 'thread', id: threadId() });
  loop.start();

  /** A turn of the event loop lies between rounds, so that sockets get their share: a bounded one, whatever floods in. */
  const turn = (): void => {
    if (loop.round()) setImmediate(turn);
    else port.close();
  };
  turn();
}
