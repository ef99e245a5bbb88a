import type { ButtonHTMLAttributes, ComponentChildren } from 'preact';

import { Link } from '../router';

/** `primary`: the one thing to do here. `plain`: other actions. `strong`: dark, for a pair with `plain`. `quiet`: looks like a link. */
export type ButtonKind = 'primary' | 'plain' | 'strong' | 'quiet';

/** `normal` is 48 px high, `large` 72 px for wet fingers. */
export type ButtonSize = 'normal' | 'large';

interface Look {
  kind?: ButtonKind;
  size?: ButtonSize;
  wide?: boolean;
  children: ComponentChildren;
}

function classOf({ kind = 'plain', size = 'normal', wide = false }: Look, more?: string): string {
  return ['btn', `btn-${kind}`, size === 'large' && 'btn-large', wide && 'btn-wide', more].filter(Boolean).join(' ');
}

export type ButtonProps = Look &
  Omit<ButtonHTMLAttributes, 'class' | 'size' | 'children'> & {
    /** Something is under way: it cannot be pressed again and says so. */
    busy?: boolean;
    class?: string;
  };

export function Button({ kind, size, wide, busy = false, class: more, children, disabled, type = 'button', ...rest }: ButtonProps) {
  return (
    <button
      {...rest}
      type={type}
      class={classOf({ kind, size, wide, children }, more)}
      disabled={busy || disabled}
      aria-busy={busy || undefined}
    >
      {children}
    </button>
  );
}

/** A link that looks like a button: for going somewhere, not for doing something. */
export function ButtonLink({ to, kind, size, wide, class: more, children }: Look & { to: string; class?: string }) {
  return (
    <Link to={to} class={classOf({ kind, size, wide, children }, more)}>
      {children}
    </Link>
  );
}
