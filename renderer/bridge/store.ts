/** A value that screens can read and follow; the smallest thing that React's external-store hook needs. */
import { useSyncExternalStore } from 'react';

export interface Store<T> {
  get(): T;
  set(next: T | ((now: T) => T)): void;
  subscribe(listener: () => void): () => void;
}

export function makeStore<T>(first: T): Store<T> {
  let now = first;
  const listeners = new Set<() => void>();
  return {
    get: () => now,
    set(next) {
      const value = typeof next === 'function' ? (next as (now: T) => T)(now) : next;
      if (Object.is(value, now)) return;
      now = value;
      for (const listener of listeners) listener();
    },
    subscribe(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
  };
}

export const useStore = <T>(store: Store<T>): T => useSyncExternalStore(store.subscribe, store.get);
