// What subscribers listen to ends when the server stops, and when their key is revoked: an answer that has no end would keep the
// server from ending, and the key good.
import { AsyncLocalStorage } from 'node:async_hooks'

/**
 * The same values, until there are no more or `ended` is aborted; then the source is asked to stop, and the last value is what
 * `lastWords` answers, if anything. `onEnd` is called when they end in any way, maybe more than once.
 */
export function endedBy<Value>(
  ended: AbortSignal,
  values: AsyncIterable<Value>,
  onEnd: () => void = () => undefined,
  lastWords: () => Value | undefined = () => undefined,
): AsyncIterableIterator<Value> {
  const source = values[Symbol.asyncIterator]()
  const done: IteratorReturnResult<undefined> = { done: true, value: undefined }
  let isOver = false
  let end: () => void = () => undefined
  const over = new Promise<undefined>((resolve) => {
    end = () => resolve(undefined)
  })
  /** What is heard first after the end: the last words, once. */
  let last: () => IteratorResult<Value> = () => {
    last = () => done
    const value = ended.aborted ? lastWords() : undefined
    return value === undefined ? done : { done: false, value }
  }
  const leave = () => {
    ended.removeEventListener('abort', stop)
    onEnd()
  }
  const stop = () => {
    leave()
    isOver = true
    end()
    return source.return?.()
  }
  if (ended.aborted) void stop()
  else ended.addEventListener('abort', stop, { once: true })

  const iterator: AsyncIterableIterator<Value> = {
    // The socket asks for it, which knows nothing of the request for which it is heard.
    next: AsyncLocalStorage.bind(async () => {
      try {
        const next = isOver ? undefined : await Promise.race([source.next(), over])
        // A source that is asked to stop may say so before the race is decided.
        if (next === undefined || (next.done && isOver)) return last()
        if (next.done) leave()
        return next
      } catch (error) {
        leave()
        throw error
      }
    }),
    return: async () => {
      last = () => done
      await stop()
      return done
    },
    [Symbol.asyncIterator]: () => iterator,
  }
  return iterator
}
