// A VTK window on Mesa's surfaceless EGL: no display, no graphics card, byte-identical pictures.
//
// The packaged VTK 9.1 opens windows through GLX only and ends the program when there is no display, so the
// context is made here first and handed to vtkGenericOpenGLRenderWindow. Everything that can be missing is
// checked before VTK sees it.
#pragma once
#include <vtkSmartPointer.h>

class vtkRenderWindow;

namespace leverwright::vtk {

// UserError (never an abort) when this machine cannot make the context.
vtkSmartPointer<vtkRenderWindow> open_headless_window(int width, int height);

// Largest picture side the context can draw, pixels.
int find_largest_side();

}  // namespace leverwright::vtk
