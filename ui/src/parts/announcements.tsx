import type { ComponentChildren } from 'preact';
import { useEffect } from 'preact/hooks';
import type { Trouble } from '../../../node/api/contract.ts';
import { MOST_FLASHES } from '../../../node/core/limits.ts';
import { connection } from '../connection.ts';
import { tell } from '../presses.ts';
import { dateOf, heardAt, hello, isOpen, isSilent, link, may, nodeNow, role, seen, state } from '../state.ts';
import { Push } from './push.tsx';
import { guessedName } from './this-device.ts';
import { halfSeconds } from './ticker.ts';
import { awayInWords, fallenInWords, timeOfDay, warningInWords } from './words.ts';

/** The line is lost, or about to be. */
export function LineNotice() {
  halfSeconds.value;
  if (hello.value === undefined) return null;
  const silent = performance.now() - heardAt.peek();
  if (link.value.phase !== 'lost' && !isSilent.value) return null;
  const seconds = Math.max(1, Math.round(silent / 1000));
  return (
    <TroubleNotice
      urgent={link.value.phase === 'lost'}
      happened={`The node has not answered for ${seconds} s.`}
      guestsSee="What the lights do meanwhile cannot be seen from here; what you held lets go by itself."
      todo={
        navigator.onLine
          ? 'This mends itself when the node can be reached again.'
          : `This ${guessedName().toLowerCase()} is on no network: join the one that the node is on.`
      }
    />
  );
}

/** Nobody has been heard of for too long, and the fallback comes nearer. */
export function WarnedNotice() {
  const now = state.value;
  const warned = now?.watch.phase === 'warned';
  if (warned) halfSeconds.value;
  const warning = warned ? warningInWords(now, nodeNow()) : undefined;
  const isDue = warning?.isDue === true;
  // The node answers whoever is there with how things stand.
  useEffect(() => {
    if (isDue) connection.beat();
  }, [isDue]);
  if (warning === undefined) return null;
  return (
    <TroubleNotice
      urgent
      happened={warning.happened}
      guestsSee={warning.guestsSee}
      todo={role.value === 'viewer' ? 'An operator or helper must come near with a phone.' : 'Any touch here keeps the show.'}
    >
      {role.value !== 'viewer' && (
        <Push kind="main" disabled={!isOpen.value} onClick={() => connection.beat()}>
          I am here
        </Push>
      )}
    </TroubleNotice>
  );
}

/** The fallback has come, and some of what was on is still away. Every button plays; nothing returns by itself. */
export function FallenNotice() {
  const now = state.value;
  if (now?.watch.canResume !== true) return null;
  const fallen = now.watch.phase === 'fallen';
  const buttons = hello.value?.show.buttons ?? [];
  const away = awayInWords(now, buttons);
  return (
    <TroubleNotice
      urgent={fallen}
      happened={
        fallen
          ? 'Every phone was out of reach for too long, so the node fell back.'
          : 'Since the node fell back, some of what was on is still away.'
      }
      guestsSee={fallen ? fallenInWords(now, buttons, dateOf) : ''}
      todo={may('resume') ? `Resume brings back ${away}.` : `An operator’s phone can bring back ${away}.`}
    >
      {may('resume') && (
        <Push kind="main" disabled={!isOpen.value} onClick={() => tell({ do: 'resume' })}>
          Resume
        </Push>
      )}
    </TroubleNotice>
  );
}

/** While dark the whole screen says so, whichever screen it is. */
export function DarkNotice() {
  if (state.value?.blackout !== true) return null;
  return (
    <p class="dark-notice" role="status">
      <strong>Blackout.</strong> Guests see no show light.
      {may('blackout') && ' Hold the corner below and it returns as it was.'}
    </p>
  );
}

/** What plays is left to the node: said on every screen, and over with any touch (`frame.tsx`). */
export function LeftNotice() {
  const left = state.value?.left;
  if (left === undefined) return null;
  return (
    <TroubleNotice
      happened={`Left to the node until ${timeOfDay(dateOf(left.until))}.`}
      guestsSee="What plays goes on without a phone: heads turn slowly, no haze, no strobe."
      todo={may('leave') ? 'Any touch ends that.' : ''}
    />
  );
}

/** Lasers are armed: said on every screen, and ended from there. */
export function LasersNotice() {
  if (state.value?.lasers !== 'armed') return null;
  return (
    <section class="dark-notice with-push" role="status">
      <p>
        <strong>Lasers are armed.</strong>
      </p>
      {may('close-lasers') && (
        <Push disabled={!isOpen.value} onClick={() => tell({ do: 'close-lasers' })}>
          Close them
        </Push>
      )}
    </section>
  );
}

/** More flashes a second are allowed than three: said on every screen, and ended from there. */
export function FlashesNotice() {
  const most = state.value?.flashes ?? MOST_FLASHES;
  if (most <= MOST_FLASHES) return null;
  return (
    <section class="dark-notice with-push" role="status">
      <p>
        <strong>Up to {most} flashes a second</strong>
      </p>
      {may('lower-flashes') && (
        <Push disabled={!isOpen.value} onClick={() => tell({ do: 'lower-flashes' })}>
          Back to three
        </Push>
      )}
    </section>
  );
}

/** People work at the lights. */
export function CrewNotice() {
  if (state.value?.crew !== true) return null;
  return (
    <section class="dark-notice with-push" role="status">
      <p>
        <strong>The crew is working.</strong> Heads stand still; no strobe, haze or laser.
      </p>
      {may('crew') && (
        <Push disabled={!isOpen.value} onClick={() => tell({ do: 'crew', on: false })}>
          They are done
        </Push>
      )}
    </section>
  );
}

/** What waits for a person's word before it plays. */
function ClosedNotice() {
  const closed = seen.value?.closed ?? [];
  if (closed.length === 0) return null;
  return (
    <p class="dark-notice" role="status">
      {closed.map((one) => `${one}.`).join(' ')}
    </p>
  );
}

/** What every screen but Tonight says above its own matters; Tonight gives each its place. */
export function Announcements() {
  return (
    <>
      <DarkNotice />
      <LineNotice />
      <WarnedNotice />
      <FallenNotice />
      <Troubles />
      <LeftNotice />
      <CrewNotice />
      <LasersNotice />
      <FlashesNotice />
      <ClosedNotice />
    </>
  );
}

/** What is amiss at the outputs; `most` of it, and where to read the rest. */
export function Troubles({ most = Number.POSITIVE_INFINITY }: { readonly most?: number }) {
  const troubles = state.value?.troubles ?? [];
  const more = troubles.length - most;
  return (
    <>
      {troubles.slice(0, most).map(({ id, ...trouble }) => (
        <TroubleNotice key={id} urgent={id !== 'disk-failing'} {...trouble}>
          {more > 0 && <p class="quiet">{more} more under Phones and node.</p>}
        </TroubleNotice>
      ))}
    </>
  );
}

interface TroubleNoticeProps extends Omit<Trouble, 'id'> {
  /** `urgent` is read out at once and has the accent's edge. */
  readonly urgent?: boolean;
  readonly children?: ComponentChildren;
}

/** Trouble speaks once, in three parts: what happened, what guests see because of it, what to do. */
function TroubleNotice({ happened, guestsSee, todo, urgent = false, children }: TroubleNoticeProps) {
  return (
    <section class={urgent ? 'trouble urgent' : 'trouble'} role={urgent ? 'alert' : 'status'}>
      <p>
        <strong>{happened}</strong> {guestsSee} {todo}
      </p>
      {children}
    </section>
  );
}
