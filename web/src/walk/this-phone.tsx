import { CheckField, Details } from '../parts';
import { words } from '../words';
import { grip, setGrip } from './grip';
import { canBuzz, canSound, readyToTick } from './tick';

/** How this phone is held and answers a tap; kept on it alone. */
export function ThisPhone() {
  const { phone } = words.value.walk;
  const { left, buzz, sound } = grip.value;
  return (
    <Details summary={phone.title}>
      <CheckField label={phone.left} checked={left} onChecked={(on) => setGrip({ left: on })} />
      <CheckField
        label={phone.buzz}
        {...(!canBuzz() && { hint: phone.noBuzz })}
        checked={buzz && canBuzz()}
        disabled={!canBuzz()}
        onChecked={(on) => setGrip({ buzz: on })}
      />
      <CheckField
        label={phone.sound}
        hint={canSound() ? phone.soundHint : phone.noSound}
        checked={sound && canSound()}
        disabled={!canSound()}
        onChecked={(on) => {
          setGrip({ sound: on });
          readyToTick();
        }}
      />
    </Details>
  );
}
