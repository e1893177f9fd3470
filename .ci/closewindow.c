/* Asks a window to close, as the button in its title bar does. xdotool of
 * Debian 12 can only destroy windows, which a program does not survive.
 *
 * usage: closewindow WINDOW
 */
#include <X11/Xlib.h>
#include <stdio.h>
#include <stdlib.h>

int main(int argc, char **argv)
{
	Display *display;
	XEvent event = {0};

	if (argc != 2 || !(display = XOpenDisplay(NULL))) {
		fprintf(stderr, "usage: closewindow WINDOW, with a display\n");
		return 2;
	}
	event.xclient.type = ClientMessage;
	event.xclient.window = strtoul(argv[1], NULL, 0);
	event.xclient.message_type = XInternAtom(display, "WM_PROTOCOLS", False);
	event.xclient.format = 32;
	event.xclient.data.l[0] = (long)XInternAtom(display, "WM_DELETE_WINDOW", False);
	event.xclient.data.l[1] = CurrentTime;
	XSendEvent(display, event.xclient.window, False, NoEventMask, &event);
	XCloseDisplay(display);
	return 0;
}
