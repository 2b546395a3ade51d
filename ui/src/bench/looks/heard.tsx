import { useEffect, useState } from 'preact/hooks';
import { reading, Typed } from '../typed.tsx';
import './heard.css';
import type { HeardAnswer, HeardSender, TakenLook } from '../../../../node/api/edit-contract.ts';
import { counted, listed, protocolNames } from '../../../../node/core/words.ts';
import type { Show } from '../../../../node/show/document.ts';
import { Push } from '../../parts/push.tsx';
import { as } from '../../parts/spoken.tsx';
import { isOpen } from '../../state.ts';
import { idAfter } from '../edits.ts';
import { lightsOf } from '../parts/lights.ts';
import { offered } from '../where/preview.ts';
import { heard, listen, noAnswer, pick, picked, takeLook, takes } from './taken.ts';

/** Where the page stands in the address: no look can be called so. */
export const HEARD = '*heard';

/** From here on what came last is old: an sACN source that is still there is heard more often (E1.31-2018 section 6.7.1). Milliseconds. */
const OLD = 2500;

/** What another controller sends becomes a look of this show. */
export function HeardPage({ show }: { readonly show: Show }) {
  useEffect(listen, []);
  const answer = heard.value;
  const sender = answer?.senders.find(({ id, ago }) => id === picked.value && ago < OLD);
  return (
    <section class="heard" aria-labelledby="bench-heard">
      <h1 id="bench-heard" class="bench-title">
        What another controller sends
      </h1>
      <p class="quiet" role="status">
        {answer === undefined ? 'Listening…' : listensWords(answer)}
      </p>
      {noAnswer.value !== undefined && (
        <p class="trouble" role="alert">
          {noAnswer.value}
        </p>
      )}
      {answer !== undefined && <Senders answer={answer} />}
      {picked.value !== undefined && takes.value !== undefined && (
        <Take key={picked.value} show={show} look={takes.value} sender={sender} />
      )}
    </section>
  );
}

const universesWords = (universes: readonly number[]): string =>
  `universe${universes.length === 1 ? '' : 's'} ${listed(universes.map(String))}`;

const listensWords = ({ universes, senders }: HeardAnswer): string =>
  universes.length === 0
    ? 'No light of this show has an address yet, so there is nothing to listen for. Give the lights their addresses first.'
    : `Listening on ${universesWords(universes)}, where the lights of this show are. ${
        senders.every(({ ago }) => ago >= OLD)
          ? 'Nobody else is heard there now.'
          : `${counted(senders.filter(({ ago }) => ago < OLD).length, 'controller')} heard.`
      }`;

function Senders({ answer }: { readonly answer: HeardAnswer }) {
  const { senders, previews, universes, sacnOnly, lights, address } = answer;
  return (
    <>
      {senders.length > 0 && (
        <ul {...as.list} class="heard-senders" aria-label="Controllers that are heard">
          {senders.map((one) => (
            <li key={one.id}>
              <button
                type="button"
                class="push"
                aria-pressed={one.id === picked.value}
                // Of one that has stopped there is nothing more to take than what was taken.
                disabled={one.ago >= OLD && one.id !== picked.value}
                onClick={() => pick(one.id)}
              >
                <strong>{one.name}</strong>
                <span>{senderWords(one)}</span>
                <span>
                  Sends for {one.lights} of {counted(lights, 'light')}.{outrankedWords(one)}
                </span>
              </button>
            </li>
          ))}
        </ul>
      )}
      {previews.map((name) => (
        <p key={name}>
          “{name}” sends preview data only. That is for pictures on a screen and not for lights: nothing is taken from it.
        </p>
      ))}
      {senders.length === 0 && universes.length > 0 && (
        <>
          <p>If another controller is sending, check:</p>
          <ul class="heard-checks">
            <li>Both are on the same network. This node is {address} there.</li>
            <li>It sends {universesWords(universes)}, as the lights of this show are set.</li>
            <li>By sACN it sends to the group of each universe (multicast), or to {address}.</li>
            <li>By Art-Net it sends to everybody (broadcast), or to {address}.</li>
            {sacnOnly.length > 0 && (
              <li>On {universesWords(sacnOnly)} sACN alone is heard, as this node sends no Art-Net there now.</li>
            )}
          </ul>
        </>
      )}
    </>
  );
}

function senderWords({ protocol, address, universes, priority, perSecond, ago }: HeardSender): string {
  const often = Math.round(perSecond);
  const live = ago < OLD ? (often === 1 ? 'once a second' : `${often} times a second`) : `stopped ${Math.round(ago / 1000)} s ago`;
  const rank = priority === undefined ? [] : [`priority ${priority}`];
  return [`${protocolNames[protocol]} from ${address}`, universesWords(universes), ...rank, live].join(', ');
}

const outrankedWords = ({ outranked }: HeardSender): string =>
  outranked.length === 0 ? '' : ` On ${universesWords(outranked)} another has the higher priority: lights follow that.`;

interface TakeProps {
  readonly show: Show;
  readonly look: TakenLook;
  /** Undefined: it is not heard any more. */
  readonly sender: HeardSender | undefined;
}

/** The look that would be made, drawn in the room's picture; and what it is called. */
function Take({ show, look, sender }: TakeProps) {
  const [from, setFrom] = useState(sender?.name ?? '');
  const [name, setName] = useState<string | undefined>(undefined);
  useEffect(() => {
    if (sender !== undefined) setFrom(sender.name);
  }, [sender?.name]);
  const called = name ?? `From ${from}`.slice(0, 80);
  useEffect(() => {
    offered.value = { look: { id: idAfter('offered', show.looks), name: called, parts: look.parts }, from };
  }, [look, called, from, show.looks]);
  useEffect(
    () => () => {
      offered.value = undefined;
    },
    [],
  );
  const lit = look.parts.slice(1).reduce((sum, { who }) => sum + lightsOf(who, show).length, 0);
  return (
    <section aria-labelledby="heard-take">
      <h2 id="heard-take">The look that comes of it</h2>
      <p>
        {lit === 0
          ? 'It lights none of your lights: there is nothing to make a look of.'
          : `It lights ${counted(lit, 'light')}, as the picture shows. Levels and colours are worked out from its slots by how your lights are set.`}
        {sender === undefined && ` “${from}” is not heard any more: this is what came last.`}
      </p>
      {look.left.length > 0 && (
        <ul class="heard-left">
          {look.left.map((one) => (
            <li key={one}>{one}</li>
          ))}
        </ul>
      )}
      <div class="bench-row">
        <Typed
          label="Name"
          value={called}
          onType={reading({ read: (text) => text.trim() || undefined, onRead: setName })}
          help="It needs a name."
        />
        <Push kind="main" disabled={!isOpen.value || lit === 0} onClick={() => void takeLook(show, called, look)}>
          Make this look
        </Push>
      </div>
    </section>
  );
}
