// What subscribers listen to ends when the server stops: an answer that has no end would keep the server from ending.

/** The same values, until there are no more or `ended` is aborted; then the source is asked to stop. */
export function endedBy<Value>(ended: AbortSignal, values: AsyncIterable<Value>): AsyncIterableIterator<Value> {
  const source = values[Symbol.asyncIterator]()
  const done: IteratorReturnResult<undefined> = { done: true, value: undefined }
  let end: () => void = () => undefined
  const over = new Promise<IteratorReturnResult<undefined>>((resolve) => {
    end = () => resolve(done)
  })
  const stop = () => {
    ended.removeEventListener('abort', stop)
    end()
    return source.return?.()
  }
  if (ended.aborted) void stop()
  else ended.addEventListener('abort', stop, { once: true })

  const iterator: AsyncIterableIterator<Value> = {
    next: async () => {
      const next = await Promise.race([source.next(), over])
      if (next.done) ended.removeEventListener('abort', stop)
      return next
    },
    return: async () => {
      await stop()
      return done
    },
    [Symbol.asyncIterator]: () => iterator,
  }
  return iterator
}
