import type { ComponentChildren } from 'preact';

export function Frame({ children }: { readonly children: ComponentChildren }) {
  return <main>{children}</main>;
}
