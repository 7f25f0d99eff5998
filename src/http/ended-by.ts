// What subscribers listen to ends when the server stops, and when their key is revoked: an answer that has no end would keep the
// server from ending, and the key good.

/**
 * The same values, until there are no more or `ended` is aborted; then the source is asked to stop. `onEnd` is called when they
 * end in any way, maybe more than once.
 */
export function endedBy<Value>(
  ended: AbortSignal,
  values: AsyncIterable<Value>,
  onEnd: () => void = () => undefined,
): AsyncIterableIterator<Value> {
  const source = values[Symbol.asyncIterator]()
  const done: IteratorReturnResult<undefined> = { done: true, value: undefined }
  let end: () => void = () => undefined
  const over = new Promise<IteratorReturnResult<undefined>>((resolve) => {
    end = () => resolve(done)
  })
  const leave = () => {
    ended.removeEventListener('abort', stop)
    onEnd()
  }
  const stop = () => {
    leave()
    end()
    return source.return?.()
  }
  if (ended.aborted) void stop()
  else ended.addEventListener('abort', stop, { once: true })

  const iterator: AsyncIterableIterator<Value> = {
    next: async () => {
      try {
        const next = await Promise.race([source.next(), over])
        if (next.done) leave()
        return next
      } catch (error) {
        leave()
        throw error
      }
    },
    return: async () => {
      await stop()
      return done
    },
    [Symbol.asyncIterator]: () => iterator,
  }
  return iterator
}
