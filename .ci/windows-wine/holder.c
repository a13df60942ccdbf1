/* Another program that has a file open: "holder read FILE" lets nobody else have it,
 * "holder write FILE" appends a row of a channel log every 50 ms, with one flick of
 * 300 ms, and lets others read. Both go on for some seconds. */

#include <windows.h>
#include <stdio.h>
#include <string.h>

int main(int argc, char **argv)
{
	int i, writes = argc == 3 && !strcmp(argv[1], "write");
	HANDLE file = CreateFileA(argv[2], writes ? FILE_APPEND_DATA : GENERIC_READ, writes ? FILE_SHARE_READ : 0,
		NULL, OPEN_EXISTING, 0, NULL);
	if (file == INVALID_HANDLE_VALUE)
		return fprintf(stderr, "cannot open %s: error %lu\n", argv[2], GetLastError()), 1;
	for (i = 0; i < 160; i++) {
		char row[64];
		DWORD written;
		sprintf(row, "%d,%d\r\n", 50000 * i, i >= 60 && i < 66 ? 2000 : 1000);
		if (writes)
			WriteFile(file, row, strlen(row), &written, NULL);
		Sleep(50);
	}
	return 0;
}
