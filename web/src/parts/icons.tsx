import type { ComponentChildren } from 'preact';

function Icon({ children }: { children: ComponentChildren }) {
  return (
    <svg class="icon" viewBox="0 0 24 24" width="24" height="24" fill="none" stroke="currentColor" stroke-width="1.6" stroke-linecap="round" stroke-linejoin="round" aria-hidden="true">
      {children}
    </svg>
  );
}

/** An open box with a cutting in it. */
export function DockIcon() {
  return (
    <Icon>
      <path d="M4 11v9h16v-9M4 11l-2 3M20 11l2 3M4 11h4.5M20 11h-4.5" />
      <path d="M12 16V7" />
      <path d="M12 9c0-3-2-4.5-4.5-4.500C7.5 7.5 9.5 9 12 9zM12 7c0-2.5 1.5-4 4-4 0 2.5-1.5 4-4 4z" />
    </Icon>
  );
}

/** The way up one bench and down the next. */
export function WalkIcon() {
  return (
    <Icon>
      <path d="M4 21V7a3.5 3.5 0 0 1 7 0v10a3.5 3.5 0 0 0 7 0V4" />
      <path d="m15 6.5 3-3 3 3" />
    </Icon>
  );
}

/** A leaf of a calendar with its Monday marked. */
export function WeekIcon() {
  return (
    <Icon>
      <path d="M4 6h16v14H4zM4 10.500h16M8.5 3.500v4M15.500 3.500v4" />
      <path d="M7 13h3v4H7z" fill="currentColor" stroke="none" opacity=".22" />
      <path d="M7 13h3v4H7zM13.500 14h3.500M13.500 17h2" />
    </Icon>
  );
}

/** Weeks with a line through them. */
export function TrendsIcon() {
  return (
    <Icon>
      <path d="M3 21h18" />
      <path d="M4 14.5 9 12l5 1.500L20 5v7l-6 5.500L9 16l-5 2.500z" fill="currentColor" stroke="none" opacity=".22" />
      <path d="M4 16.5 9 14l5 1.500L20 8" />
    </Icon>
  );
}

/** One way that becomes two. */
export function TrailIcon() {
  return (
    <Icon>
      <circle cx="4.5" cy="12" r="2" />
      <path d="M6.5 12H10c3 0 3-6 6.5-6H21M10 12c3 0 3 6 6.5 6H21" />
      <path d="m18.5 3.5 2.5 2.5-2.5 2.5M18.5 15.5l2.5 2.5-2.5 2.5" />
    </Icon>
  );
}

/** Two greenhouses side by side. */
export function HousesIcon() {
  return (
    <Icon>
      <path d="M2.500 20v-9l4.500-5 4.500 5v9zM12.500 20v-9l4.500-5 4.500 5v9z" />
      <path d="M2.500 11h9M12.500 11h9M7 20v-4M17 20v-4" />
    </Icon>
  );
}

/** A ruled list. */
export function SetupIcon() {
  return (
    <Icon>
      <path d="M4 6h2M10 6h10M4 12h2M10 12h10M4 18h2M10 18h6" />
    </Icon>
  );
}

/** A tally of five. */
export function SumsIcon() {
  return (
    <Icon>
      <path d="M6 5v14M10 5v14M14 5v14M18 5v14" />
      <path d="m3 17 18-10" />
    </Icon>
  );
}

/** In through a door. */
export function SignInIcon() {
  return (
    <Icon>
      <path d="M11 4h8v16h-8" />
      <path d="M3 12h11M10.5 8l4 4-4 4" />
    </Icon>
  );
}

/** The name with its mark: plants on a bench. */
export function Wordmark() {
  return (
    <>
      <svg viewBox="0 0 30 24" width="30" height="24" fill="none" stroke="currentColor" stroke-width="1.7" stroke-linecap="round" aria-hidden="true">
        <path d="M2 20h26" />
        <path d="M6.5 20v-3.500M15 20v-7.500M23.5 20V8.5" />
        <path d="M6.5 16.500c0-2-1.3-2.8-2.8-2.800M6.5 16.500c0-2 1.3-2.8 2.8-2.800M15 12.500c0-2.3-1.5-3.2-3.2-3.200M15 12.500c0-2.3 1.5-3.2 3.2-3.200M23.5 8.500c0-2.8-1.8-3.9-3.9-3.900M23.5 8.500c0-2.8 1.8-3.9 3.9-3.9" />
      </svg>
      <span>Benchtrail</span>
    </>
  );
}
