import { atZone, toLocal, toMoment } from '../local/zone';
import { serverNow } from '../session';
import { words } from '../words';
import { Button } from './button';
import { Field, type FieldProps } from './field';

interface MomentProps extends FieldProps {
  /** RFC 3339 with offset, or null. */
  value: string | null;
  onValue: (value: string | null) => void;
  /** IANA zone of the site: one types the clock on its wall. */
  zone: string;
}

/** A date and a time at the site, given back as RFC 3339 with the offset of that day. */
export function MomentField({ value, onValue, zone, ...field }: MomentProps) {
  const { common } = words.value;
  return (
    <Field {...field} hint={field.hint ?? common.siteTime(zone)}>
      {(attributes) => (
        <div class="moment">
          <input
            {...attributes}
            class="input"
            type="datetime-local"
            value={value === null ? '' : toLocal(value, zone)}
            onChange={(event) => onValue(toMoment(event.currentTarget.value, zone))}
          />
          {!field.disabled && <Button onClick={() => onValue(atZone(serverNow(), zone))}>{common.now}</Button>}
        </div>
      )}
    </Field>
  );
}
