#include "viz/vtk/headless_window.h"

#include <GL/glew.h>
// After GLEW, which must come before any other GL header.
#include <EGL/egl.h>
#include <EGL/eglext.h>
#include <vtkGenericOpenGLRenderWindow.h>
#include <vtkObjectFactory.h>

#include <cstring>
#include <string>

#include "sim/base/error.h"

namespace leverwright::vtk {
namespace {

[[noreturn]] void fail(const std::string& what) {
  throw base::UserError(
      "cannot draw the action's picture: " + what,
      "install the packages libegl1 and libegl-mesa0; SVG and PDF pictures do not need them");
}

struct Context {
  EGLDisplay display = EGL_NO_DISPLAY;
  EGLContext context = EGL_NO_CONTEXT;
  Context() = default;
  Context(const Context&) = delete;
  Context& operator=(const Context&) = delete;
  ~Context() {
    if (display == EGL_NO_DISPLAY) return;
    eglMakeCurrent(display, EGL_NO_SURFACE, EGL_NO_SURFACE, EGL_NO_CONTEXT);
    if (context != EGL_NO_CONTEXT) eglDestroyContext(display, context);
  }
  bool make_current() const {
    return eglBindAPI(EGL_OPENGL_API) == EGL_TRUE &&
           eglMakeCurrent(display, EGL_NO_SURFACE, EGL_NO_SURFACE, context) == EGL_TRUE;
  }
};

bool has(const char* list, const char* word) { return list != nullptr && std::strstr(list, word) != nullptr; }

void make_context(Context& c) {
  if (!has(eglQueryString(EGL_NO_DISPLAY, EGL_EXTENSIONS), "EGL_MESA_platform_surfaceless"))
    fail("this machine's EGL cannot draw without a display");
  c.display = eglGetPlatformDisplay(EGL_PLATFORM_SURFACELESS_MESA, nullptr, nullptr);
  if (c.display == EGL_NO_DISPLAY || eglInitialize(c.display, nullptr, nullptr) != EGL_TRUE)
    fail("EGL could not be started");
  if (!has(eglQueryString(c.display, EGL_EXTENSIONS), "EGL_KHR_surfaceless_context") ||
      eglBindAPI(EGL_OPENGL_API) != EGL_TRUE)
    fail("EGL offers no OpenGL without a surface");
  const EGLint wanted[] = {EGL_RENDERABLE_TYPE, EGL_OPENGL_BIT, EGL_SURFACE_TYPE, 0, EGL_NONE};
  EGLConfig config = nullptr;
  EGLint count = 0;
  if (eglChooseConfig(c.display, wanted, &config, 1, &count) != EGL_TRUE || count < 1)
    fail("EGL offers no OpenGL configuration");
  const EGLint version[] = {EGL_CONTEXT_MAJOR_VERSION,
                            3,
                            EGL_CONTEXT_MINOR_VERSION,
                            3,
                            EGL_CONTEXT_OPENGL_PROFILE_MASK,
                            EGL_CONTEXT_OPENGL_CORE_PROFILE_BIT,
                            EGL_NONE};
  c.context = eglCreateContext(c.display, config, EGL_NO_CONTEXT, version);
  if (c.context == EGL_NO_CONTEXT || !c.make_current()) fail("OpenGL 3.3 is not available");
  glewExperimental = GL_TRUE;
  const GLenum result = glewInit();
  // GLEW as packaged looks for a GLX display after loading the functions and complains that there is none.
  if ((result != GLEW_OK && result != GLEW_ERROR_NO_GLX_DISPLAY) || !GLEW_VERSION_3_2)
    fail("the OpenGL functions could not be loaded");
}

const Context& the_context() {  // one for the whole run
  static const struct Made : Context {
    Made() { make_context(*this); }
  } context;
  return context;
}

class HeadlessWindow : public vtkGenericOpenGLRenderWindow {
 public:
  static HeadlessWindow* New();
  // clang-format off
  vtkTypeMacro(HeadlessWindow, vtkGenericOpenGLRenderWindow)
      // clang-format on

      void MakeCurrent() override {
    the_context().make_current();
  }
  bool IsCurrent() override { return eglGetCurrentContext() == the_context().context; }
  int SupportsOpenGL() override { return 1; }
  void OpenGLInitContext() override {
    ContextCreationTime.Modified();
    if (Initialized) return;
    Initialized = true;
    GlewInitValid = true;  // loaded by make_context
    GLfloat range[2] = {1, 1};
    glGetFloatv(GL_ALIASED_LINE_WIDTH_RANGE, range);
    MaximumHardwareLineWidth = range[1];
  }
};
vtkStandardNewMacro(HeadlessWindow);

}  // namespace

vtkSmartPointer<vtkRenderWindow> open_headless_window(int width, int height) {
  the_context();
  auto window = vtkSmartPointer<HeadlessWindow>::New();
  window->SetOffScreenRendering(1);
  window->SetFrameBlitModeToNoBlit();
  window->SetReadyForRendering(true);
  window->SetMultiSamples(4);
  window->SetDPI(72);  // text sizes are then pixels
  window->SetSize(width, height);
  window->MakeCurrent();
  window->OpenGLInit();
  return window;
}

int find_largest_side() {
  the_context().make_current();
  GLint side = 0;
  glGetIntegerv(GL_MAX_TEXTURE_SIZE, &side);
  return side;
}

}  // namespace leverwright::vtk
