import type { Sign, Stage } from '../contract.gen';
import { words } from '../words';
import type { Growth } from './draft';

const places: readonly Growth[] = ['new_growth', 'old_growth'];

interface GridProps {
  /** What the signs belong to, read aloud. */
  label: string;
  stages: readonly Stage[];
  signs: readonly Sign[];
  disabled?: boolean;
  onToggle: (stage: Stage, place: Growth) => void;
}

/** Stage by place: one tap notes a sign, a second takes it back. */
export function SignGrid({ label, stages, signs, disabled = false, onToggle }: GridProps) {
  const { sign } = words.value.walk;
  return (
    <div class="walk-grid" role="group" aria-label={label}>
      {places.map((place) => (
        <div key={place} role="group" aria-label={sign.places[place]}>
          <span class="walk-grid-place" aria-hidden="true">
            {sign.places[place]}
          </span>
          <div class="walk-grid-row">
            {stages.map((stage) => (
              <button
                key={stage}
                type="button"
                class="walk-chip"
                disabled={disabled}
                aria-label={sign.at(sign.stages[stage], sign.places[place])}
                aria-pressed={signs.some((one) => one.stage === stage && one.place === place)}
                onClick={() => onToggle(stage, place)}
              >
                {sign.stages[stage]}
              </button>
            ))}
          </div>
        </div>
      ))}
    </div>
  );
}

interface SeverityProps {
  label: string;
  value: number | null;
  disabled?: boolean;
  onValue: (severity: number | null) => void;
}

/** How severe a disease is on a plant, classes 1 to 4; a second tap takes it back. */
export function SeverityRow({ label, value, disabled = false, onValue }: SeverityProps) {
  const { sign } = words.value.walk;
  return (
    <div class="walk-grid" role="group" aria-label={label}>
      <div role="group" aria-label={sign.severity}>
        <span class="walk-grid-place" aria-hidden="true">
          {sign.severity}
        </span>
        <div class="walk-grid-row">
          {[1, 2, 3, 4].map((n) => (
            <button
              key={n}
              type="button"
              class="walk-chip"
              disabled={disabled}
              aria-pressed={value === n}
              onClick={() => onValue(value === n ? null : n)}
            >
              {n} {sign.severityClass(n)}
            </button>
          ))}
        </div>
      </div>
    </div>
  );
}
