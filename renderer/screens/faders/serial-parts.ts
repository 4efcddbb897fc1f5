/** A serial in the part that the whole batch shares and the piece's own number. Pure. */
export function serialParts(serial: string): { readonly shared: string; readonly own: string } {
  const cut = serial.lastIndexOf('-') + 1;
  return { shared: serial.slice(0, cut), own: serial.slice(cut) };
}
