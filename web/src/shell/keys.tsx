// The list of keys: every action that has one.

import { actions } from '../engine/actions';
import { Modal } from '../ui/dialog';

export function Keys() {
  const rows = actions().filter((a) => a.keys?.length);
  return (
    <Modal title="Keys">
      <table class="keys">
        <tbody>
          {rows.map((a) => (
            <tr>
              <td>
                {a.keys!.map((k, i) => (
                  <>
                    {i > 0 && ' or '}
                    <kbd>{k.replaceAll('+', ' ')}</kbd>
                  </>
                ))}
              </td>
              <td>{a.says}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </Modal>
  );
}
