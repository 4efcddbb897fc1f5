/** `10:04:09`: the log needs seconds, which dates and times elsewhere do not. */
export function clockText(iso: string): string {
  const date = new Date(iso);
  return [date.getHours(), date.getMinutes(), date.getSeconds()].map((part) => String(part).padStart(2, '0')).join(':');
}
