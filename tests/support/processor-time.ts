// How long work takes by the processor: what else runs on the machine counts for little, and standing still for nothing.

/** What `work` answers, and the milliseconds of processor time that this process takes for it, the collector's and compiler's included. */
export async function processorTime<Result>(work: () => Result): Promise<{ result: Awaited<Result>; took: number }> {
  const before = process.cpuUsage()
  const result = await work()
  const { user, system } = process.cpuUsage(before)
  return { result, took: (user + system) / 1000 }
}
