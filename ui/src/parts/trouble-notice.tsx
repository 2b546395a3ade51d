import type { ComponentChildren } from 'preact';
import type { Trouble } from '../../../node/api/contract.ts';

interface TroubleNoticeProps extends Omit<Trouble, 'id'> {
  /** `urgent` is read out at once and has the accent's edge. */
  readonly urgent?: boolean;
  readonly children?: ComponentChildren;
}

/** Trouble speaks once, in three parts: what happened, what guests see because of it, what to do. */
export function TroubleNotice({ happened, guestsSee, todo, urgent = false, children }: TroubleNoticeProps) {
  return (
    <section class={urgent ? 'trouble urgent' : 'trouble'} role={urgent ? 'alert' : 'status'}>
      <p>
        <strong>{happened}</strong> {guestsSee} {todo}
      </p>
      {children}
    </section>
  );
}
