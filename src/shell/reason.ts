/** The system's short name of an error, such as ENOENT. */
export const codeOf = (error: unknown): string | undefined => (error as { code?: string }).code;

/** A system error in words. */
export function reasonOf(error: unknown): string {
  const code = codeOf(error);
  const words: Readonly<Record<string, string>> = {
    ENOENT: 'there is no such file or folder',
    EISDIR: 'it is a folder',
    ENOTDIR: 'a part of the path is not a folder',
    EEXIST: 'a part of the path is not a folder',
    ENAMETOOLONG: 'the name is too long',
    EACCES: 'it may not be opened',
    EPERM: 'it may not be opened',
    EROFS: 'the disk is read-only',
    ENOSPC: 'the disk is full',
    EDQUOT: 'the disk space allowed to you is used up',
    EIO: 'the disk gives an error',
    EBUSY: 'another program holds it',
    EMFILE: 'too many files are open',
    ELOOP: 'its links lead round in a circle',
    EAGAIN: 'nothing is there to read',
    EBADF: 'it is closed',
  };
  return words[code ?? ''] ?? `the system says ${code ?? 'no more'}`;
}
