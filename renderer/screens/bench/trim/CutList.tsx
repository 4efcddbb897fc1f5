import type { ReactElement } from 'react';
import type { Cut } from '../../../../src/trim/trim.ts';
import { ScrollArea } from '../../../frame/ScrollArea.tsx';
import { cutText } from './cut-text.ts';

/** All cuts of the pass, in the order they are best made. */
export function CutList({ cuts }: { readonly cuts: readonly Cut[] }): ReactElement {
  return (
    <ScrollArea label="Cuts of this pass" className="cut-list scroll-part">
      <table>
        <thead>
          <tr>
            <th scope="col">Cut</th>
            <th scope="col">at, mm</th>
            <th scope="col">long</th>
            <th scope="col">deep</th>
            <th scope="col">side</th>
          </tr>
        </thead>
        <tbody>
          {cuts.map((cut) => {
            const { number, placeMm, lengthMm, depthMm, side } = cutText(cut);
            return (
              <tr key={number}>
                <th scope="row">{number}</th>
                <td>{placeMm}</td>
                <td>{lengthMm ?? 'plunge'}</td>
                <td>{depthMm}</td>
                <td>{side}</td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </ScrollArea>
  );
}
