import { useState } from 'preact/hooks';
import type { Invitation } from '../../../node/api/contract.ts';
import { type Role, roles } from '../../../node/core/roles.ts';
import { invite } from '../api.ts';
import { Push } from '../parts/push.tsx';
import { halfSeconds } from '../parts/ticker.ts';
import { countdown } from '../parts/words.ts';
import { say } from '../presses.ts';
import { isOpen, nodeDate } from '../state.ts';
import { pairedPhones } from './paired-phones.tsx';
import { roleWords } from './role-words.ts';

interface Made {
  readonly invitation: Invitation;
  /** On the node's clock. */
  readonly at: number;
}

/** One more phone: what it may do, then a code for its camera. */
export function InvitePhone() {
  const [role, setRole] = useState<Role>('helper');
  const [made, setMade] = useState<Made | undefined>(undefined);
  const make = async () => {
    try {
      setMade({ invitation: await invite(role), at: nodeDate() });
    } catch (error) {
      say((error as Error).message);
    }
  };
  if (made !== undefined) return <Shown made={made} onDone={() => setMade(undefined)} onAgain={() => void make()} />;
  return (
    <section>
      <h2>Invite a phone</h2>
      <fieldset class="choices">
        <legend>It may</legend>
        {roles.map((one) => (
          <label key={one}>
            <input type="radio" name="role" checked={role === one} onChange={() => setRole(one)} />
            <span>
              <strong>{roleWords[one].name}</strong>
              <span class="quiet">{roleWords[one].may}</span>
            </span>
          </label>
        ))}
      </fieldset>
      <Push kind="main" onClick={() => void make()} disabled={!isOpen.value}>
        Make a code
      </Push>
    </section>
  );
}

interface ShownProps {
  readonly made: Made;
  readonly onDone: () => void;
  readonly onAgain: () => void;
}

function Shown({ made: { invitation, at }, onDone, onAgain }: ShownProps) {
  halfSeconds.value;
  const { code, role, url, qr, expiresAt } = invitation;
  const joined = pairedPhones.value?.find((phone) => phone.role === role && phone.pairedAt >= at);
  const left = Math.ceil((expiresAt - nodeDate()) / 1000);
  const again = (
    <div class="pair">
      <Push onClick={onDone}>Done</Push>
      <Push onClick={onAgain}>New code</Push>
    </div>
  );
  // A code that somebody has used must not be held out to the next.
  if (joined !== undefined)
    return (
      <section>
        <h2>Invite a phone</h2>
        <p role="status">
          “{joined.name}” has joined as {roleWords[role].name.toLowerCase()}. A code is for one phone.
        </p>
        {again}
      </section>
    );
  if (left <= 0)
    return (
      <section>
        <h2>Invite a phone</h2>
        <p>The code has run out.</p>
        {again}
      </section>
    );
  return (
    <section>
      <h2>For one {roleWords[role].name.toLowerCase()}’s phone</h2>
      <img class="qr" src={`data:image/svg+xml,${encodeURIComponent(qr)}`} width="240" height="240" alt={`QR code of ${url}`} />
      <p class="big-code">{code}</p>
      <p>
        Point the phone’s camera at it, or open <strong>{url.replace(/\/#.*$/, '')}</strong> and type the code. It works once, for{' '}
        {countdown(left)} more.
      </p>
      {again}
    </section>
  );
}
