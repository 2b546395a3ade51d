import { Worker } from 'node:worker_threads';
import { built, builtUrl } from './common.mjs';
import { settingsOf } from './show.mjs';

/** Starts the compiled engine thread with a show and outputs of its own, without web server and store. */
export async function startEngine(document, outputs, rate = 40) {
  const { Engine } = await built('engine/engine.js');
  const { Heartbeat } = await built('core/heartbeat.js');
  const { compileShow } = await built('playback/compile.js');
  const { freshState } = await built('playback/reduce.js');
  const { checkShow } = await built('show/read.js');
  const { checkSettings } = await built('settings/check.js');
  const { systemClock } = await built('system/clock.js');
  const heartbeat = new Heartbeat();
  heartbeat.beat(systemClock.now());
  const listeners = new Set();
  const ignore = () => undefined;
  const engine = new Engine(
    new Worker(builtUrl('engine/thread.js')),
    { heartbeat: heartbeat.memory, rate, cid: new Uint8Array(16), nodeName: 'bench', firmwareVersion: 1 },
    {
      firstFrame: ignore,
      played: (_state, _acted, loaded) => {
        for (const told of listeners) told(loaded);
      },
      reported: ignore,
      log: ignore,
      died: (error) => setImmediate(() => Promise.reject(error)),
    },
  );
  const show = compileShow(checkShow(document));
  engine.start(show, freshState(show, systemClock.now()), checkSettings(settingsOf(outputs)).outputs);
  return {
    engine,
    show,
    compile: (json) => compileShow(checkShow(json)),
    /** One look dimmed, as an edit leaves a document: all else is the same objects. */
    dimmed: (id, level) => {
      const looks = show.show.looks.map((look) =>
        look.id === id ? { ...look, parts: look.parts.map((part) => ({ ...part, level })) } : look,
      );
      return compileShow({ ...show.show, looks }, show);
    },
    /** Hands a compiled show over. Resolves when the engine plays it. */
    load(compiled) {
      const number = engine.load(compiled);
      return new Promise((resolve) => {
        const told = (loaded) => {
          if (loaded !== number) return;
          listeners.delete(told);
          resolve();
        };
        listeners.add(told);
      });
    },
  };
}
