import { useEffect, useState } from 'preact/hooks';
import { Push } from '../parts/push.tsx';
import { tell } from '../presses.ts';
import { hello, isOpen, may, state } from '../state.ts';
import { FlashLimit } from './flash-limit.tsx';

/** What a person decides at the lights themselves: people on ladders, haze, lasers, quick flashes. Each only where the show has such lights. */
export function AtTheLights() {
  const now = state.value;
  if (now === undefined) return null;
  const hazes = hello.value?.show.uses.some(({ use }) => use === 'haze') === true;
  return (
    <>
      <h2>At the lights</h2>
      {may('crew') && (
        <>
          <div class="pair">
            <Push disabled={!isOpen.value} pressed={now.crew} onClick={() => tell({ do: 'crew', on: !now.crew })}>
              {now.crew ? 'The crew is done' : 'Crew is working'}
            </Push>
          </div>
          <p class="quiet">
            For people at the lights: heads stand still, no strobe, haze or laser, light to work by. It cuts no power: before work
            on a light, unplug it as its manual says.
          </p>
        </>
      )}
      {hazes && may('allow-haze') && <Haze allowed={now.hazeAllowed} />}
      {now.lasers !== undefined && <Lasers armed={now.lasers === 'armed'} />}
      <FlashLimit most={now.flashes} />
    </>
  );
}

const Haze = ({ allowed }: { readonly allowed: boolean }) => (
  <>
    <div class="pair">
      <Push disabled={!isOpen.value} onClick={() => tell({ do: 'allow-haze', on: !allowed })}>
        {allowed ? 'No haze any more tonight' : 'The venue permits haze'}
      </Push>
    </div>
    <p class="quiet">
      {allowed
        ? 'Haze is permitted for this night.'
        : 'It can set off smoke detectors, and it troubles some lungs. Only the venue may say yes, and it deals with its detectors itself.'}
    </p>
  </>
);

/** Armed in two touches, the second beside what has to be so; closed in one. */
function Lasers({ armed }: { readonly armed: boolean }) {
  const [asks, setAsks] = useState(false);
  useEffect(() => {
    if (armed) setAsks(false);
  }, [armed]);
  if (armed) return <LasersArmed />;
  if (!may('arm-lasers')) return null;
  if (!asks)
    return (
      <>
        <div class="pair">
          <Push disabled={!isOpen.value} onClick={() => setAsks(true)}>
            Arm the lasers…
          </Push>
        </div>
        <p class="quiet">Lasers are closed.</p>
      </>
    );
  return (
    <section
      class="trouble urgent"
      role="alertdialog"
      aria-label="Arm the lasers?"
      onKeyDown={(event) => {
        if (event.key !== 'Escape') return;
        event.stopPropagation();
        setAsks(false);
      }}
    >
      <p>
        <strong>A laser can blind.</strong> Never into eyes: of guests, of crew, by a mirror or a window. Many places ask for
        permits, and for somebody licensed who has aimed and measured them. The maker’s manual and the law come first; each laser
        needs a stop of its own, in reach of a person. Nothing here aims them. Does a licensed plan for these lasers exist in this
        room?
      </p>
      <div class="pair">
        <Push onClick={() => setAsks(false)}>Keep them closed</Push>
        <Push kind="main" disabled={!isOpen.value} onClick={() => tell({ do: 'arm-lasers', plan: true })}>
          It exists: arm them
        </Push>
      </div>
    </section>
  );
}

const LasersArmed = () => (
  <>
    <div class="pair">
      <Push disabled={!isOpen.value} onClick={() => tell({ do: 'close-lasers' })}>
        Close the lasers
      </Push>
    </div>
    <p class="quiet">Lasers are armed for this run. Blackout, all off, lights up, or no phone in reach close them too.</p>
  </>
);
