// One process at a time per embedded database: PGlite itself lets two processes open one folder and ruin it. Processes of one machine
// see each other; those of others, and of containers that share the folder, see only that the lock is touched.
import { randomUUID } from 'node:crypto'
import { link, mkdir, open, readFile, readlink, rename, rm, stat, writeFile } from 'node:fs/promises'
import { hostname } from 'node:os'
import { dirname } from 'node:path'

/** Milliseconds between two touches of a lock by its holder. */
export const BETWEEN_TOUCHES = 5000
/** Milliseconds since its last touch for which a lock counts as held by a process that cannot be seen from here. */
export const HELD_FOR = 15_000

export interface FolderLock {
  release(): Promise<void>
}

/**
 * Takes the lock that the file `path` stands for, or throws an error that names the process that has it. The lock of a
 * process that is gone (killed, or the machine was restarted) is taken over: at once where it ran beside this one, else `HELD_FOR` after
 * its last touch. `onLost` hears that another process has taken the lock over, as from one that was halted for long: this
 * one must not go on.
 */
export async function lockFolder(path: string, onLost: (error: Error) => void = throwLater): Promise<FolderLock> {
  await mkdir(dirname(path), { recursive: true })
  const mine = await wordsOf(process.pid)
  // The file appears with its content in one step, so that no process reads half a lock.
  const draft = `${path}.${randomUUID()}`
  await writeFile(draft, mine)
  try {
    while (!(await placed(draft, path))) {
      const holder = await readFile(path, 'utf8').catch(() => undefined)
      if (holder === undefined) continue
      if (await isHeld(holder, path, draft)) throw new Error(heldWords(holder, path))
      await discard(path, holder)
    }
  } finally {
    await rm(draft, { force: true })
  }
  const stopTouching = keepTouching(path, mine, onLost)
  return {
    release: async () => {
      await stopTouching()
      await discard(path, mine)
    },
  }
}

/** An error that nothing catches ends the process. */
function throwLater(error: Error): void {
  setImmediate(() => {
    throw error
  })
}

function heldWords(holder: string, path: string): string {
  const { processId, host } = readWords(holder)
  const where = host === undefined || host === hostname() ? '' : ` on ${host}`
  return `Another process (${processId}${where}) has the embedded database open. Stop it, or set DATABASE_URL to a server that several can share. The lock is ${path}; that of a process of another machine or container that was killed is free ${HELD_FOR / 1000} seconds later.`
}

/** Touches the lock until it is stopped. */
function keepTouching(path: string, mine: string, onLost: (error: Error) => void): () => Promise<void> {
  let touching = Promise.resolve()
  const timer = setInterval(() => {
    touching = touching.then(async () => {
      // A file system that does not answer now may answer at the next touch.
      const isLost = await touch(path, mine).catch(() => false)
      if (!isLost) return
      clearInterval(timer)
      onLost(new Error(`Another process has taken over the embedded database: this one ends. The lock is ${path}.`))
    })
  }, BETWEEN_TOUCHES)
  timer.unref()
  return async () => {
    clearInterval(timer)
    await touching
  }
}

/** Writes the lock's own content anew, so that the file system's clock says when; answers whether the lock is another one's. */
async function touch(path: string, mine: string): Promise<boolean> {
  const file = await open(path, 'r+').catch((error: unknown) => {
    if (isError(error, 'ENOENT')) return undefined
    throw error
  })
  if (!file) return true
  try {
    if ((await file.readFile('utf8')) !== mine) return true
    await file.write(mine, 0)
    return false
  } finally {
    await file.close()
  }
}

/** Puts the lock in place unless there is one. */
async function placed(draft: string, path: string): Promise<boolean> {
  try {
    await link(draft, path)
    return true
  } catch (error) {
    if (isError(error, 'EEXIST')) return false
    throw error
  }
}

/** Removes the lock if it still says `expected`: of two processes that find a stale lock only one removes it, and neither removes a new one. */
async function discard(path: string, expected: string): Promise<void> {
  const renamed = `${path}.${randomUUID()}`
  try {
    await rename(path, renamed)
  } catch {
    return
  }
  const found = await readFile(renamed, 'utf8')
  if (found === expected) await rm(renamed)
  else await rename(renamed, path)
}

/** Whether the process that a lock names lives; of one that cannot be seen from here, whether it has touched the lock lately. */
async function isHeld(holder: string, path: string, draft: string): Promise<boolean> {
  const { processId, start, host, space } = readWords(holder)
  if (host === undefined || (host === hostname() && space === (await spaceOf()))) return isAlive(processId, start)
  // Both times are by the clock of the file system: machines differ in theirs.
  const [touched, now] = await Promise.all([stat(path).catch(() => undefined), stat(draft)])
  return touched !== undefined && now.mtimeMs - touched.mtimeMs < HELD_FOR
}

/** What a lock says: process id, its start, the host, and the boot and process namespace in which the id means something. */
async function wordsOf(processId: number): Promise<string> {
  return `${processId} ${await startOf(processId)} ${hostname()} ${await spaceOf()}`
}

function readWords(words: string) {
  const [id, start, host, ...space] = words.split(' ')
  return { processId: Number(id), start, host, space: space.join(' ') }
}

/** In what a process id means something; '-' for a part that the system does not say. */
async function spaceOf(): Promise<string> {
  const [boot, namespace] = await Promise.all([
    readFile('/proc/sys/kernel/random/boot_id', 'utf8').catch(() => '-'),
    readlink('/proc/self/ns/pid').catch(() => '-'),
  ])
  return `${boot.trim()} ${namespace}`
}

async function isAlive(processId: number, start: string | undefined): Promise<boolean> {
  if (!Number.isInteger(processId) || processId <= 0) return false
  try {
    process.kill(processId, 0)
  } catch (error) {
    return isError(error, 'EPERM')
  }
  // After a restart another process may have the same id; its start time differs, where the system shows it.
  return (await startOf(processId)) === start
}

function isError(error: unknown, code: string): boolean {
  return error instanceof Error && 'code' in error && error.code === code
}

/** When a process started, in ticks since the machine did; '-' where the system does not say. */
async function startOf(processId: number): Promise<string> {
  try {
    const line = await readFile(`/proc/${processId}/stat`, 'utf8')
    return line.slice(line.lastIndexOf(')') + 2).split(' ')[19] ?? '-'
  } catch {
    return '-'
  }
}
