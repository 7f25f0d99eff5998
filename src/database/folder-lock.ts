// One process at a time per embedded database: PGlite itself lets two processes open one folder and ruin it.
import { randomUUID } from 'node:crypto'
import { link, mkdir, readFile, rename, rm, writeFile } from 'node:fs/promises'
import { dirname } from 'node:path'

export interface FolderLock {
  release(): Promise<void>
}

/**
 * Takes the lock that the file `path` stands for, or throws an error that names the process that has it. The lock of a
 * process that is gone (killed, or the machine was restarted) is taken over.
 */
export async function lockFolder(path: string): Promise<FolderLock> {
  await mkdir(dirname(path), { recursive: true })
  const mine = `${process.pid} ${await startOf(process.pid)}`
  // The file appears with its content in one step, so that no process reads half a lock.
  const draft = `${path}.${randomUUID()}`
  await writeFile(draft, mine)
  try {
    while (!(await placed(draft, path))) {
      const holder = await readFile(path, 'utf8').catch(() => undefined)
      if (holder === undefined) continue
      if (await isAlive(holder))
        throw new Error(
          `Another process (${holder.split(' ')[0]}) has the embedded database open. Stop it, or set DATABASE_URL to a server that several can share. The lock is ${path}.`,
        )
      await discard(path, holder)
    }
  } finally {
    await rm(draft, { force: true })
  }
  return { release: () => discard(path, mine) }
}

/** Puts the lock in place unless there is one. */
async function placed(draft: string, path: string): Promise<boolean> {
  try {
    await link(draft, path)
    return true
  } catch (error) {
    if (error instanceof Error && 'code' in error && error.code === 'EEXIST') return false
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

async function isAlive(holder: string): Promise<boolean> {
  const [id, start] = holder.split(' ')
  const processId = Number(id)
  if (!Number.isInteger(processId) || processId <= 0) return false
  try {
    process.kill(processId, 0)
  } catch (error) {
    return error instanceof Error && 'code' in error && error.code === 'EPERM'
  }
  // After a restart another process may have the same id; its start time differs, where the system shows it.
  return (await startOf(processId)) === start
}

/** When a process started, in ticks since the machine did; '-' where the system does not say. */
async function startOf(processId: number): Promise<string> {
  try {
    const stat = await readFile(`/proc/${processId}/stat`, 'utf8')
    return stat.slice(stat.lastIndexOf(')') + 2).split(' ')[19] ?? '-'
  } catch {
    return '-'
  }
}
