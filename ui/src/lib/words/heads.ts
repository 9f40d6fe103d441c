/** What a way of doing it is called: the one every garden begins with has no name of its own. */
export const headWords = (head: string | undefined): string => (!head || head === 'main' ? 'First plan' : head);
